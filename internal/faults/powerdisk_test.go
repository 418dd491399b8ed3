// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"io/fs"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// disk is what a disk keeps through a power cut: what was synced, for sure;
// of the rest, anything. A file's bytes are sure after a sync of the file, its
// name only after a sync of its folder.
type disk struct {
	root  string
	names map[string]*inode // as the program sees them
	sure  map[string]*inode // as the disk has them
	loose []*nameChange     // of names, in order, not yet sure
	deaf  bool              // it ignores every sync
}

// inode is a file or, without content, a folder.
type inode struct {
	dir   bool
	sure  []byte
	size  int64    // as the program sees it
	loose []change // of bytes, in order, not yet sure
}

// change is bytes written at a place, or a length set.
type change struct {
	at   int64
	data []byte
	cut  bool // the file was made to end at `at`
}

// nameChange gives a name to a file, takes one away, or both at once.
type nameChange struct {
	add    string
	to     *inode
	remove string
}

// newDisk has everything below root for sure.
func newDisk(root string) (*disk, error) {
	d := &disk{root: root, names: map[string]*inode{}, sure: map[string]*inode{}}
	err := filepath.WalkDir(root, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		n := &inode{dir: e.IsDir()}
		if !n.dir {
			if n.sure, err = os.ReadFile(path); err != nil {
				return err
			}
			n.size = int64(len(n.sure))
		}
		d.names[path], d.sure[path] = n, n
		return nil
	})
	return d, err
}

// move gives everything the path that the program knows it by.
func (d *disk) move(root string) {
	for _, names := range []map[string]*inode{d.names, d.sure} {
		for path, n := range maps.Clone(names) {
			delete(names, path)
			names[root+strings.TrimPrefix(path, d.root)] = n
		}
	}
	d.root = root
}

func (d *disk) within(path string) bool {
	return (path == d.root || strings.HasPrefix(path, d.root+"/")) && !strings.HasSuffix(path, "-shm") // shared memory, not a file to keep
}

func (d *disk) create(path string, dir bool) {
	if d.names[path] == nil {
		n := &inode{dir: dir}
		d.names[path] = n
		d.loose = append(d.loose, &nameChange{add: path, to: n})
	}
}

func (d *disk) rename(from, to string) {
	n := d.names[from]
	delete(d.names, from)
	d.names[to] = n
	d.loose = append(d.loose, &nameChange{add: to, to: n, remove: from})
}

func (d *disk) remove(path string) {
	delete(d.names, path)
	d.loose = append(d.loose, &nameChange{remove: path})
}

func (n *inode) write(at int64, data []byte) {
	n.size = max(n.size, at+int64(len(data)))
	n.loose = append(n.loose, change{at: at, data: data})
}

func (n *inode) truncate(to int64) {
	n.size = to
	n.loose = append(n.loose, change{at: to, cut: true})
}

// mark is what a sync that begins now will have made sure when it comes back.
type mark struct {
	file  *inode
	bytes int
	names []*nameChange
}

func (d *disk) mark(path string) mark {
	n := d.names[path]
	if n == nil {
		return mark{}
	}
	m := mark{file: n, bytes: len(n.loose)}
	if n.dir {
		for _, c := range d.loose {
			if c.add != "" && filepath.Dir(c.add) == path || c.remove != "" && filepath.Dir(c.remove) == path {
				m.names = append(m.names, c)
			}
		}
	}
	return m
}

// sync makes sure what the call marked when it began. Another sync of the same
// file may have come back meanwhile.
func (d *disk) sync(c *call, marks map[*call]mark) {
	m := marks[c]
	delete(marks, c)
	if m.file == nil || d.deaf {
		return
	}
	m.file.sure = apply(m.file.sure, m.file.loose[:m.bytes])
	m.file.loose = slices.Clone(m.file.loose[m.bytes:])
	for other, o := range marks { // those still under way count from here
		if o.file == m.file {
			o.bytes = max(0, o.bytes-m.bytes)
			marks[other] = o
		}
	}
	for _, n := range m.names {
		d.settle(n)
	}
}

// settle makes a change of names sure.
func (d *disk) settle(n *nameChange) {
	i := slices.Index(d.loose, n)
	if i < 0 {
		return
	}
	n.apply(d.sure)
	d.loose = slices.Delete(d.loose, i, i+1)
	// A name that the file had before can't come back.
	d.loose = slices.DeleteFunc(d.loose, func(o *nameChange) bool { return n.remove != "" && o.add == n.remove && o.to == n.to })
}

func (c *nameChange) apply(names map[string]*inode) {
	if c.remove != "" {
		delete(names, c.remove)
	}
	if c.add != "" {
		names[c.add] = c.to
	}
}

// apply makes the changes on a copy of data.
func apply(data []byte, changes []change) []byte {
	if len(changes) == 0 {
		return data
	}
	data = slices.Clone(data)
	for _, c := range changes {
		end := c.at + int64(len(c.data))
		if more := end - int64(len(data)); more > 0 {
			data = append(data, make([]byte, more)...)
		}
		if c.cut {
			data = data[:end]
			continue
		}
		copy(data[c.at:], c.data)
	}
	return data
}

const sector = 512

// afterCut writes to dir what is left when the power goes now: of what was not
// synced, each change has happened, has not, or has in some of its sectors.
func (d *disk) afterCut(dir string, r *rand.Rand) error {
	names := map[string]*inode{}
	for path, n := range d.sure {
		names[path] = n
	}
	for _, c := range d.loose {
		if r.IntN(2) == 0 {
			c.apply(names)
		}
	}
	for _, path := range slices.Sorted(maps.Keys(names)) {
		if !reachable(names, path, d.root) {
			continue // its folder's own name was lost
		}
		to := filepath.Join(dir, strings.TrimPrefix(path, d.root))
		if names[path].dir {
			if err := os.MkdirAll(to, 0o700); err != nil {
				return err
			}
			continue
		}
		if err := os.WriteFile(to, apply(names[path].sure, some(names[path].loose, r)), 0o600); err != nil {
			return err
		}
	}
	return nil
}

func reachable(names map[string]*inode, path, root string) bool {
	for path != root {
		path = filepath.Dir(path)
		if n := names[path]; n == nil || !n.dir {
			return false
		}
	}
	return true
}

// some are the changes that reached the disk.
func some(loose []change, r *rand.Rand) []change {
	var out []change
	for _, c := range loose {
		switch r.IntN(4) {
		case 0, 1:
			out = append(out, c)
		case 2: // torn
			for at := int64(0); at < int64(len(c.data)); at += sector {
				if r.IntN(2) == 0 {
					out = append(out, change{at: c.at + at, data: c.data[at:min(at+sector, int64(len(c.data)))]})
				}
			}
		}
	}
	return out
}
