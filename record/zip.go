// SPDX-License-Identifier: Apache-2.0

package record

import (
	"archive/zip"
	"bytes"
	"fmt"
	"hash/crc32"
	"io"
	"maps"
	"slices"
)

// dosEpoch is 1 January 1980, the earliest date a zip can hold.
const dosEpoch = 1<<5 | 1

// writeZip writes the files by name, stored, without time or attributes.
func writeZip(w io.Writer, files map[string][]byte) error {
	z := zip.NewWriter(w)
	for _, name := range slices.Sorted(maps.Keys(files)) {
		data := files[name]
		f, err := z.CreateRaw(&zip.FileHeader{
			Name:               name,
			Method:             zip.Store,
			CreatorVersion:     20,
			ReaderVersion:      20,
			ModifiedDate:       dosEpoch, //lint:ignore SA1019 CreateRaw writes this one and not Modified
			CRC32:              crc32.ChecksumIEEE(data),
			CompressedSize64:   uint64(len(data)),
			UncompressedSize64: uint64(len(data)),
		})
		if err != nil {
			return fmt.Errorf("record: bundle: %s: %w", name, err)
		}
		if _, err := f.Write(data); err != nil {
			return fmt.Errorf("record: bundle: %s: %w", name, err)
		}
	}
	if err := z.Close(); err != nil {
		return fmt.Errorf("record: bundle: %w", err)
	}
	return nil
}

// readZip returns the files of a zip as far as they can be read, and whether
// data is exactly what writeZip would write for them. Nothing is decompressed
// and no more is taken up than data has bytes, so a small file can't grow big.
func readZip(data []byte) (files map[string][]byte, canonical bool, err error) {
	if len(data) > maxBundle {
		return nil, false, invalid("bundle of %d bytes is larger than %d", len(data), maxBundle)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, false, invalid("not a bundle: %v", err)
	}
	files = make(map[string][]byte, len(z.File))
	left := uint64(len(data))
	for _, f := range z.File {
		if f.Method != zip.Store || f.CompressedSize64 != f.UncompressedSize64 || f.CompressedSize64 > left {
			return nil, false, invalid("not a bundle: %q is compressed or longer than the file", f.Name)
		}
		left -= f.CompressedSize64
		if _, twice := files[f.Name]; twice {
			return nil, false, invalid("not a bundle: %q stands twice", f.Name)
		}
		content, err := rawContent(f)
		if err != nil {
			return nil, false, invalid("not a bundle: %q: %v", f.Name, err)
		}
		files[f.Name] = content
	}
	same := &sameWriter{want: data}
	if err := writeZip(same, files); err != nil {
		return files, false, nil
	}
	return files, same.ok(), nil
}

// rawContent reads past the checksum: it is wrong in a changed bundle, and
// what was changed is to be named by something better.
func rawContent(f *zip.File) ([]byte, error) {
	r, err := f.OpenRaw()
	if err != nil {
		return nil, err
	}
	return io.ReadAll(io.LimitReader(r, int64(f.CompressedSize64)))
}

// sameWriter compares what is written to it with want.
type sameWriter struct {
	want    []byte
	differs bool
}

func (s *sameWriter) Write(p []byte) (int, error) {
	if !bytes.HasPrefix(s.want, p) {
		s.differs = true
		return len(p), nil
	}
	s.want = s.want[len(p):]
	return len(p), nil
}

func (s *sameWriter) ok() bool { return !s.differs && len(s.want) == 0 }
