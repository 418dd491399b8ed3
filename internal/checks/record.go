// SPDX-License-Identifier: Apache-2.0

package checks

import (
	"encoding/hex"
	"fmt"
	"strings"

	"golang.org/x/mod/sumdb/tlog"

	"witnessmark/record"
)

// merkleLeaves and merkleRoots: transparency-dev/merkle, testonly/constants.go.
var merkleLeaves = []string{"", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"}

var merkleRoots = []string{
	"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
	"6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
	"fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
	"aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
	"d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
	"4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
	"76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
	"ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
	"5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
}

const (
	merkleSource = "RFC 6962, section 2.1; roots from transparency-dev/merkle, testonly/constants.go"
	proofSource  = "RFC 6962, sections 2.1.1 and 2.1.2, recomputed with a separate implementation"
	noteSource   = "C2SP signed-note, Verifier keys, Example (example.com/foo+530d903a)"

	noteKey  = "example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k"
	noteText = "This is an example message.\n\n— example.com/foo Uw2QOkn8srV1yJGh2VYRlL1Tnagv1YEq6TfXppzi2ONncAlTgK7Ztg1ERYNZXsYjOBH3mFXmRKuwHjG1Yu72IneyaQM=\n"
)

// recordChecks answer 1 for 'as published' and 0 for 'not'.
func recordChecks() []Check {
	var list []Check
	for n, root := range merkleRoots {
		list = append(list, Check{
			Name: fmt.Sprintf("record: root of the published tree of %d leaves (1 = the same)", n), Expected: 1, Tolerance: 1e-9,
			Source: merkleSource, Kind: Published,
			Got: func() (float64, error) { return merkleRootIs(n, root) },
		})
	}
	return append(list,
		Check{
			Name: "record: inclusion of leaf 4 in 6 (1 = proof as recomputed, and accepted)", Expected: 1, Tolerance: 1e-9,
			Source: proofSource, Kind: Recomputed, Got: inclusionAsRecomputed,
		},
		Check{
			Name: "record: inclusion proof with two nodes swapped (0 = refused)", Expected: 0, Tolerance: 1e-9,
			Source: proofSource, Kind: Recomputed, Got: swappedProofAccepted,
		},
		Check{
			Name: "record: signed note (1 = its signature holds)", Expected: 1, Tolerance: 1e-9,
			Source: noteSource, Kind: Published, Got: func() (float64, error) { return noteHolds(noteText), nil },
		},
		Check{
			Name: "record: signed note with one letter changed (0 = refused)", Expected: 0, Tolerance: 1e-9,
			Source: noteSource, Kind: Published,
			Got: func() (float64, error) { return noteHolds(strings.Replace(noteText, "example m", "exbmple m", 1)), nil },
		},
	)
}

func merkleTree(n int) (*record.Tree, []record.Hash, error) {
	t, leaves := &record.Tree{}, []record.Hash{}
	for _, l := range merkleLeaves[:n] {
		data, err := hex.DecodeString(l)
		if err != nil {
			return nil, nil, err
		}
		leaves = append(leaves, tlog.RecordHash(data))
		t.AppendLeaf(leaves[len(leaves)-1])
	}
	return t, leaves, nil
}

func merkleRootIs(n int, want string) (float64, error) {
	t, _, err := merkleTree(n)
	if err != nil {
		return 0, err
	}
	root := t.Root()
	return yes(hex.EncodeToString(root[:]) == want), nil
}

func inclusionAsRecomputed() (float64, error) {
	t, leaves, err := merkleTree(6)
	if err != nil {
		return 0, err
	}
	proof, err := t.Inclusion(4, 6)
	if err != nil {
		return 0, err
	}
	want := "4271a26be0d8a84f0bd54c8c302e7cb3a3b5d1fa6780a40bcce2873477dab658 d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7"
	var got []string
	for _, h := range proof {
		got = append(got, hex.EncodeToString(h[:]))
	}
	return yes(strings.Join(got, " ") == want && record.CheckInclusion(proof, 4, leaves[4], 6, t.Root()) == nil), nil
}

func swappedProofAccepted() (float64, error) {
	t, leaves, err := merkleTree(6)
	if err != nil {
		return 0, err
	}
	proof, err := t.Inclusion(4, 6)
	if err != nil {
		return 0, err
	}
	proof[0], proof[1] = proof[1], proof[0]
	return yes(record.CheckInclusion(proof, 4, leaves[4], 6, t.Root()) == nil), nil
}

func noteHolds(msg string) float64 {
	_, err := record.OpenNote(msg, noteKey)
	return yes(err == nil)
}

func yes(ok bool) float64 {
	if ok {
		return 1
	}
	return 0
}
