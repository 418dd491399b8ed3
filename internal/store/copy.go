// SPDX-License-Identifier: Apache-2.0

package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
)

// copyDatabase writes a copy of the database at from, as it stands at one
// moment, to the new file to, safely on disk. It waits for nobody and nobody
// waits for it: it has a connection of its own and only reads.
func copyDatabase(ctx context.Context, from, to string) error {
	from, err := filepath.Abs(from)
	if err != nil {
		return err
	}
	db, err := openPool(from, false, 1)
	if err != nil {
		return err
	}
	defer db.Close()
	if err := touch(to); err != nil {
		return err
	}
	if _, err := db.ExecContext(ctx, `VACUUM INTO ?1`, to); err != nil {
		return errors.Join(err, os.Remove(to))
	}
	copied, err := os.OpenFile(to, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(copied.Sync(), copied.Close(), syncDir(filepath.Dir(to)))
}
