// SPDX-License-Identifier: Apache-2.0

package shop

import "context"

// sameAgain gives an input without a device time the one that its id was kept
// with: a plain form names no time, and sending it twice is to count once.
func (s *Shop) sameAgain(ctx context.Context, in *Input) error {
	if !in.DeviceTime.IsZero() {
		return nil
	}
	e, ok, err := s.kept(ctx, in.Subject, in.ID)
	if ok {
		in.DeviceTime = e.DeviceTime
	}
	return err
}
