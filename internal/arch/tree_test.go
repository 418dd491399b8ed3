// SPDX-License-Identifier: Apache-2.0

package arch

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// root is the project's folder, seen from this one.
const root = "../.."

// pkg is what `go list -json` says of a package.
type pkg struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
	Module                             *struct{ Path string }
}

// module is the path of the module that a package belongs to, "" for the
// standard library.
func (p pkg) module() string {
	if p.Module == nil {
		return ""
	}
	return p.Module.Path
}

var listed = sync.OnceValues(func() (map[string]pkg, error) {
	out, err := command("go", "list", "-deps", "-test", "-json=ImportPath,Imports,TestImports,XTestImports,Module", "./...")
	if err != nil {
		return nil, err
	}
	all := map[string]pkg{}
	dec := json.NewDecoder(bytes.NewReader(out))
	for {
		var p pkg
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return all, nil
		} else if err != nil {
			return nil, err
		}
		// "p [p.test]" is p as its own tests see it: p is listed anyway.
		if !strings.HasSuffix(p.ImportPath, ".test") && !strings.Contains(p.ImportPath, " ") {
			all[p.ImportPath] = p
		}
	}
})

// packages lists the project's packages and all that they rest on.
func packages(t *testing.T) map[string]pkg {
	t.Helper()
	all, err := listed()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// command runs a tool in the project's folder.
func command(name string, args ...string) ([]byte, error) {
	c := exec.Command(name, args...)
	c.Dir = root
	out, err := c.Output()
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		err = errors.New(strings.Join(c.Args, " ") + ": " + string(exit.Stderr))
	}
	return out, err
}

// tracked lists the project's own files: those that git has or would take.
func tracked(t *testing.T) []string {
	t.Helper()
	out, err := command("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
	if err != nil {
		t.Fatal(err)
	}
	var files []string
	for _, f := range strings.Split(strings.TrimRight(string(out), "\x00"), "\x00") {
		if info, err := os.Stat(filepath.Join(root, f)); err == nil && info.Mode().IsRegular() {
			files = append(files, f)
		}
	}
	return files
}

// lines reads a file, line by line.
func lines(t *testing.T, file string) []string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root, file))
	if errors.Is(err, os.ErrNotExist) { // gone since it was listed
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(string(data), "\n")
}
