// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"witnessmark/internal/api"
	"witnessmark/internal/demo"
	"witnessmark/internal/job"
)

var noRoom = parts{"data folder", "What was just sent was not kept", "the disk or the quota there has none left", "Make room on the server’s disk, then send it again"}

// TestDiskFull fills the file system that the data folder is on, a small one
// of its own where the test may mount one. What does not fit is refused and
// shown again; pages can still be read; with room again it counts once.
func TestDiskFull(t *testing.T) {
	base := place(t)
	if os.Geteuid() != 0 || syscall.Mount("tmpfs", base, "tmpfs", 0, "size=16m,mode=0777") != nil {
		t.Log("no file system can be mounted here; TestQuota stands for it")
		return
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(base, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	dir := workshopIn(t, base)
	s := serve(t, dir)
	b, d := s.as(job.Technician), s.device(job.Technician)
	filler := filepath.Join(base, "filler")
	fill(t, filler)
	b.refusedUntil(dir, http.StatusInsufficientStorage, noRoom, func() {
		m := member(t, job.Inspector) // a log-in takes room too
		a := b.post("/login", url.Values{"person": {m.ID}, "pin": {m.PIN}})
		a.refused(http.StatusInsufficientStorage, noRoom)
		if strings.Contains(a.body, m.PIN) {
			t.Error("the refused log-in shows the PIN")
		}
		_, err := d.AddNote(t.Context(), demo.TheCast().HalfWay, api.NewNote{ID: newID(t), Words: "Through the API"})
		var refused *api.Problem
		if !errors.As(err, &refused) || refused.Status != http.StatusInsufficientStorage {
			t.Fatalf("through the API: %v", err)
		}
		noRoom.in(t, refused.Title+" "+refused.Detail+" "+refused.Next)
		if err := os.Remove(filler); err != nil {
			t.Fatal(err)
		}
	})
	s.stop()
	sound(t, dir)
}

// fill writes zeros until nothing more fits.
func fill(t *testing.T, path string) {
	t.Helper()
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for size := 1 << 20; size > 0; size /= 2 {
		zeros := make([]byte, size)
		for err = nil; err == nil; {
			_, err = f.Write(zeros)
		}
	}
}

// refusedUntil enters until the server refuses, holds the refusals to status
// and p, makes room and sends the same again.
func (b *tablet) refusedUntil(dir string, status int, p parts, room func()) {
	t := b.t
	t.Helper()
	at := "/jobs/" + demo.TheCast().HalfWay
	var refused url.Values
	acked := map[string]bool{}
	for n := 0; refused == nil && n < 2000; n++ {
		id := newID(t)
		v := url.Values{"id": {id}, "words": {fmt.Sprintf("Note %d. %s", n, strings.Repeat("Much is to be said. ", 200))}}
		a := b.post(at+"/note", v)
		if a.status == http.StatusSeeOther {
			acked[id] = true
			continue
		}
		refused = v
		a.refused(status, p)
		if !strings.Contains(a.text(), fmt.Sprintf("Note %d.", n)) || !strings.Contains(a.body, id) {
			t.Errorf("what was typed is not there any more: %s", a.text())
		}
	}
	if refused == nil {
		t.Fatal("nothing was refused")
	}
	b.accept = "application/json"
	b.post(at+"/note", refused).refused(status, p)
	b.accept = ""
	if a := b.get(at); a.status != http.StatusOK {
		t.Errorf("the job can't be read: %d %s", a.status, a.text())
	}
	room()
	for range 2 { // sent twice, it counts once
		b.post(at+"/note", refused).kept()
	}
	acked[refused.Get("id")] = true
	counts := map[string]int{}
	for _, e := range sound(t, dir) {
		counts[e.id]++
	}
	for id := range acked {
		if counts[id] != 1 {
			t.Errorf("%s is there %d times", id, counts[id])
		}
	}
}

// TestQuota limits the size of the server's files, which whoever may mount
// nothing can do too.
func TestQuota(t *testing.T) {
	dir := workshop(t)
	info, err := os.Stat(filepath.Join(dir, "witnessmark.db"))
	if err != nil {
		t.Fatal(err)
	}
	limit := fmt.Sprintf(`ulimit -S -f %d && exec "$0" "$@"`, info.Size()/512+64)
	c := exec.CommandContext(context.WithoutCancel(t.Context()), "sh", "-c", limit, program(t), "serve", "--dir", dir, "--addr", "127.0.0.1:0", "--json")
	asNobody(c)
	s := listening(t, c)
	limited := parts{"data folder", "What was just sent was not kept", "the size of files is limited", "then send it again"}
	s.as(job.Technician).refusedUntil(dir, http.StatusServiceUnavailable, limited, func() { s.unlimited() })
	s.stop()
	sound(t, dir)
}

// unlimited lifts the limit again, for the server as it runs.
func (s *server) unlimited() {
	s.t.Helper()
	c := exec.CommandContext(s.t.Context(), "prlimit", "--fsize=unlimited", "--pid", fmt.Sprint(s.cmd.Process.Pid))
	asNobody(c) // whose server it is
	if out, err := c.CombinedOutput(); err != nil {
		s.t.Fatalf("prlimit: %v\n%s", err, out)
	}
}
