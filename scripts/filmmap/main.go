// SPDX-License-Identifier: Apache-2.0

// Command filmmap solves the film at every node of the mobility table and
// writes film/mobility.bin. Run it from the top of the repository:
//
//	go run ./scripts/filmmap
package main

import (
	"context"
	"fmt"
	"os"

	"witnessmark/film"
)

func main() {
	b, err := film.TabulateMobility(context.Background(), func(done, total int) {
		if done%256 == 0 {
			fmt.Fprintf(os.Stderr, "\r%d of %d nodes", done, total)
		}
	})
	fmt.Fprintln(os.Stderr)
	if err == nil {
		err = os.WriteFile("film/mobility.bin", b, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "filmmap:", err)
		os.Exit(1)
	}
}
