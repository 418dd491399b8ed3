// SPDX-License-Identifier: Apache-2.0

package job

import "errors"

// WheelsLoaded says that the vehicle stands on its wheels, so that rubber and
// links sit as they do on the road, or that it was lifted off them again.
type WheelsLoaded struct {
	Loaded *bool    `json:"loaded"` // false: lifted again, the wheels hang free
	Remark string   `json:"remark,omitempty"`
	Photos []string `json:"photos,omitempty"`
}

func (b *WheelsLoaded) check() error {
	if b.Loaded == nil {
		return errors.New("loaded: say true when the vehicle stands on its wheels, false when it was lifted again")
	}
	return firstError(checkLength("remark", b.Remark), checkCommitments("photo", b.Photos))
}

func (b *WheelsLoaded) apply(s *State, at At) {
	s.Wheels = append(s.Wheels, Noted[WheelsLoaded]{At: at, Body: *b})
	s.addPhotos(at, b.Photos)
}

func (b *WheelsLoaded) words(PositionNamer) string {
	w := "Lifted again: the wheels hang free."
	if *b.Loaded {
		w = "Wheels loaded: the vehicle stands on its wheels."
	}
	if b.Remark != "" {
		w += " " + b.Remark
	}
	return w
}
