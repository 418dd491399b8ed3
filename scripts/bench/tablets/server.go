// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"slices"
	"strings"
	"syscall"
	"time"

	"witnessmark/internal/demo"
)

// server is the program serving a folder.
type server struct {
	cmd *exec.Cmd
	url string
}

func start(program, dir string) (*server, error) {
	c := exec.Command(program, "serve", "--dir", dir, "--addr", "127.0.0.1:0", "--json")
	out, err := c.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := c.Start(); err != nil {
		return nil, err
	}
	var first struct{ Address string }
	if err := json.NewDecoder(out).Decode(&first); err != nil {
		_ = c.Process.Kill()
		return nil, fmt.Errorf("%s did not listen: %w", program, err)
	}
	return &server{c, strings.TrimSuffix(first.Address, "/")}, nil
}

func (s *server) stop() error {
	if err := s.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		return err
	}
	if err := s.cmd.Wait(); err != nil {
		return err
	}
	use, ok := s.cmd.ProcessState.SysUsage().(*syscall.Rusage)
	if ok {
		fmt.Printf("server: %d MB at most, %v of processor\n", use.Maxrss/1024, s.cmd.ProcessState.UserTime()+s.cmd.ProcessState.SystemTime())
	}
	return nil
}

func (s *server) kill() { _ = s.cmd.Process.Kill() }

// cold makes the invented workshop and times starts on it until the log-in
// page is there.
func (l load) cold(dir string) error {
	if out, err := exec.Command(l.program, "demo", "--no-serve", "--dir", dir).CombinedOutput(); err != nil {
		return fmt.Errorf("%w\n%s", err, out)
	}
	var times []time.Duration
	var most int64
	for range 15 {
		began := time.Now()
		s, err := start(l.program, dir)
		if err != nil {
			return err
		}
		res, err := http.Get(s.url + "/login")
		if err != nil {
			return err
		}
		_, err = io.Copy(io.Discard, res.Body)
		res.Body.Close()
		if err != nil {
			return err
		}
		times = append(times, time.Since(began))
		if err := s.cmd.Process.Signal(syscall.SIGTERM); err != nil {
			return err
		}
		if err := s.cmd.Wait(); err != nil {
			return err
		}
		if use, ok := s.cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
			most = max(most, use.Maxrss)
		}
	}
	info, err := os.Stat(l.program)
	if err != nil {
		return err
	}
	slices.Sort(times)
	fmt.Printf("from start to the first page: median %v of %d, %d MB of memory, program of %d MB\n", times[len(times)/2].Round(time.Millisecond), len(times), most/1024, info.Size()>>20)
	return nil
}

// pageOfJob weighs and times the page of the invented job half-way.
func (s *server) pageOfJob() error {
	t, err := s.logIn(demo.TheCast().HalfWay)
	if err != nil {
		return err
	}
	var times []time.Duration
	var page []byte
	for range 200 {
		began := time.Now()
		if page, err = t.get(t.job); err != nil {
			return err
		}
		times = append(times, time.Since(began))
	}
	var small bytes.Buffer
	z := gzip.NewWriter(&small)
	if _, err := z.Write(page); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	fmt.Printf("page of a job: %.1f kB, compressed %.1f kB; ms: %s\n", float64(len(page))/1000, float64(small.Len())/1000, spread(times))
	return nil
}

// openJobs opens jobs on the engine sheet of the invented ones.
func (s *server) openJobs(n int) ([]string, error) {
	t, err := s.logIn("")
	if err != nil {
		return nil, err
	}
	page, err := t.get("/sheets")
	if err != nil {
		return nil, err
	}
	sheet := sheetOnPage(page)
	var jobs []string
	for i := range n {
		number := fmt.Sprintf("L%03d", i)
		if _, err := t.post("/jobs", url.Values{"number": {number}, "vehicle": {"Invented"}, "sheet": {sheet}}); err != nil {
			return nil, err
		}
		jobs = append(jobs, number)
	}
	return jobs, nil
}

// sheetOnPage is the first engine sheet that the page links to.
func sheetOnPage(page []byte) string {
	_, rest, _ := strings.Cut(string(page), `href="/sheets/`)
	sheet, _, _ := strings.Cut(rest, `"`)
	if sheet, err := url.PathUnescape(sheet); err == nil {
		return sheet
	}
	return ""
}
