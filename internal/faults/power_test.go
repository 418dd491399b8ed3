// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"

	"witnessmark/internal/job"
	"witnessmark/internal/shop"
	"witnessmark/internal/store"
)

// entered is how much the tablets enter while it is recorded: enough for the
// write-ahead log to be written back into the database at least once, also when
// entries of several tablets go in together.
const entered = 640

// event is one step of the record of a run: something that changes the disk,
// or an acknowledgment that went out.
type event struct {
	place int
	do    func(d *disk)
	acked string // the id of the entry
	// writesBack says that it writes to the database itself.
	writesBack bool
}

// TestPowerCut records every write, sync, rename and acknowledgment of a
// server while four tablets enter (strace sees them all), and plays the record
// back up to a random point on a disk that forgets what was not synced: all of
// it, some of it, or some sectors of it. Whatever is left opens, verifies, and
// has every entry once that was acknowledged before the cut, with the words
// and photos beside it.
func TestPowerCut(t *testing.T) {
	run := record4(t)
	r := rand.New(rand.NewPCG(rand.Uint64(), rand.Uint64()))
	var acks []int
	for i, e := range run.events {
		if e.acked != "" {
			acks = append(acks, i+1) // the moment after the answer went out
		}
	}
	if len(acks) < entered {
		t.Fatalf("only %d acknowledgments were recorded", len(acks))
	}
	cuts := []int{0, len(run.events)}
	each := 15
	if os.Getenv("WITNESSMARK_LONG") == "1" {
		each = 1000
	}
	for range each {
		cuts = append(cuts, r.IntN(len(run.events)+1), acks[r.IntN(len(acks))])
	}
	slices.Sort(cuts)
	if !slices.ContainsFunc(run.events[:acks[len(acks)-1]], func(e event) bool { return e.writesBack }) {
		t.Error("the write-ahead log was never written back while entries came in")
	}
	t.Logf("%d events, %d acknowledgments, %d cuts", len(run.events), len(acks), len(cuts))
	run.play(t, cuts, true, func(cut int, dir string, acked []string) {
		if err := whole(t, dir, acked); err != nil {
			t.Errorf("power cut after event %d of %d, %d acknowledged: %v", cut, len(run.events), len(acked), err)
		}
	})

	// The same on a disk that ignores every sync has to lose something, or
	// nothing was shown above.
	lost := 0
	cuts = []int{acks[entered/3], acks[entered/2], acks[entered-1], acks[len(acks)-1]}
	run.play(t, cuts, false, func(_ int, dir string, acked []string) {
		if whole(t, dir, acked) != nil {
			lost++
		}
	})
	if lost != len(cuts) {
		t.Errorf("without any sync, only %d of %d power cuts lost something: the test would not notice a missing sync", lost, len(cuts))
	}
}

// recorded is one run of the server.
type recorded struct {
	before string // a copy of the folder as it was
	dir    string
	events []event
}

func record4(t *testing.T) recorded {
	t.Helper()
	strace, err := exec.LookPath("strace")
	if err != nil {
		leaveOut(t, "strace is not installed (apt-get install strace)")
	}
	base := place(t)
	dir, before, trace := filepath.Join(base, "workshop"), filepath.Join(base, "before"), filepath.Join(base, "trace")
	newWorkshop(t, dir)
	if err := os.CopyFS(before, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(context.WithoutCancel(t.Context()), strace, "-f", "-qq", "--seccomp-bpf", "-y", "-xx", "-s", "100000000", "-o", trace,
		"-e", "trace="+traced, "-e", "signal=none", program(t), "serve", "--dir", dir, "--addr", "127.0.0.1:0", "--json")
	c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	s := listening(t, c)
	t.Cleanup(func() { _ = syscall.Kill(-c.Process.Pid, syscall.SIGKILL) })
	s.enter(entered)
	if err := syscall.Kill(-c.Process.Pid, syscall.SIGTERM); err != nil { // its end is part of the record
		t.Fatal(err)
	}
	if err, ended := s.wait(longest); err != nil || !ended {
		t.Fatalf("after SIGTERM: ended %v, %v\n%s", ended, err, s.said)
	}
	d, err := newDisk(before)
	if err != nil {
		t.Fatal(err)
	}
	d.move(dir)
	return recorded{before, dir, events(t, d, readTrace(t, trace))}
}

// newWorkshop makes an empty data folder with one manager.
func newWorkshop(t *testing.T, dir string) {
	t.Helper()
	f, err := store.Init(t.Context(), dir, store.Config{WorkshopID: "invented"}, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	s, err := shop.New(shop.Options{Folder: f})
	if err != nil {
		t.Fatal(err)
	}
	m := member(t, job.Manager)
	if err := s.AddPerson(t.Context(), m.ID, shop.NewPerson{ID: m.ID, Name: m.Name, Role: m.Role, PIN: m.PIN}); err != nil {
		t.Fatal(err)
	}
}

// enter lets four tablets enter n facts in all: debris, notes, a few photos.
func (s *server) enter(n int) {
	s.t.Helper()
	jobs := []string{"P-1", "P-2", "P-3"}
	boss := s.as(job.Manager)
	for _, j := range jobs {
		boss.post("/jobs", url.Values{"number": {j}, "vehicle": {"Invented"}}).kept()
	}
	picture := file{"photo.jpg", "image/jpeg", smallPhoto(s.t)}
	var wg sync.WaitGroup
	for i := range 4 {
		b := s.as(job.Manager)
		b.accept = "application/json"
		wg.Go(func() {
			for k := range n / 4 {
				at := "/jobs/" + jobs[(i+k)%len(jobs)]
				v := url.Values{"id": {newID(s.t)}, "place": {"sump"}, "amount": {"none"}, "words": {fmt.Sprintf("Note %d", k)}}
				switch k % 10 {
				case 3, 7:
					b.post(at+"/note", v).kept()
				case 5:
					b.upload(at+"/note", v, picture).kept()
				default:
					b.post(at+"/debris", v).kept()
				}
			}
		})
	}
	wg.Wait()
}

var (
	requestID  = regexp.MustCompile(`(?:^|[&\s])id=([0-9A-HJKMNP-TV-Z]{26})(?:&|$)`)
	multipart1 = regexp.MustCompile(`name="id"\r\n\r\n([0-9A-HJKMNP-TV-Z]{26})\r\n`)
)

// events turns calls into what they do to a disk. An answer counts as given
// from the moment at which it began to be sent.
func events(t *testing.T, d *disk, calls []*call) []event {
	t.Helper()
	var out []event
	asked := map[string][]byte{} // by socket: what came in since the last answer
	add := func(place int, do func(d *disk)) { out = append(out, event{place: place, do: do}) }
	marks := map[*call]mark{}
	for _, c := range calls {
		if c.failed() {
			continue
		}
		texts, err := c.strings()
		if err != nil {
			t.Fatal(err)
		}
		path := c.file()
		switch c.name {
		case "read":
			if strings.HasPrefix(path, "socket:") && len(texts) > 0 {
				asked[path] = append(asked[path], texts[0]...)
			}
		case "write":
			switch {
			case strings.HasPrefix(path, "socket:"):
				id := ""
				for _, re := range []*regexp.Regexp{requestID, multipart1} {
					if m := re.FindSubmatch(asked[path]); m != nil {
						id = string(m[1])
					}
				}
				if answer := string(texts[0]); strings.HasPrefix(answer, "HTTP/1.1 200") || strings.HasPrefix(answer, "HTTP/1.1 303") {
					if id != "" {
						out = append(out, event{place: c.begin, acked: id})
					}
				}
				asked[path] = nil
			case d.within(path):
				add(c.begin, func(d *disk) { n := d.names[path]; n.write(n.size, texts[0]) }) // the program never seeks back
			}
		case "pwrite64":
			if at := c.number(); d.within(path) {
				if at < 0 {
					t.Fatalf("no place in %s", c.args[max(0, len(c.args)-100):])
				}
				add(c.begin, func(d *disk) { d.names[path].write(at, texts[0]) })
				out[len(out)-1].writesBack = strings.HasSuffix(path, ".db")
			}
		case "ftruncate":
			if to := c.number(); d.within(path) {
				add(c.begin, func(d *disk) { d.names[path].truncate(to) })
			}
		case "open", "openat":
			if opened := c.opens(); d.within(opened) && strings.Contains(c.args, "O_CREAT") {
				add(c.begin, func(d *disk) { d.create(opened, false) })
			}
			if opened := c.opens(); d.within(opened) && strings.Contains(c.args, "O_TRUNC") {
				add(c.begin, func(d *disk) { d.names[opened].truncate(0) })
			}
		case "mkdir", "mkdirat":
			if made := string(texts[0]); d.within(made) {
				add(c.begin, func(d *disk) { d.create(made, true) })
			}
		case "rename", "renameat", "renameat2":
			if from, to := string(texts[0]), string(texts[1]); d.within(from) {
				add(c.begin, func(d *disk) { d.rename(from, to) })
			}
		case "unlink", "unlinkat":
			if gone := string(texts[0]); d.within(gone) {
				add(c.begin, func(d *disk) { d.remove(gone) })
			}
		case "fsync", "fdatasync":
			if d.within(path) && c.end >= 0 {
				add(c.begin, func(d *disk) { marks[c] = d.mark(path) })
				out = append(out, event{place: c.end, do: func(d *disk) { d.sync(c, marks) }})
			}
		default:
			if d.within(path) || slices.ContainsFunc(texts, func(b []byte) bool { return d.within(string(b)) }) {
				t.Fatalf("the program changes its folder by %s, which this test does not know: %.200s", c.name, c.args)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b event) int { return a.place - b.place })
	return out
}

// play plays the record and stops at the cuts, which are in order.
func (run recorded) play(t *testing.T, cuts []int, syncs bool, look func(cut int, dir string, acked []string)) {
	t.Helper()
	d, err := newDisk(run.before)
	if err != nil {
		t.Fatal(err)
	}
	d.move(run.dir)
	d.deaf = !syncs
	var acked []string
	base := place(t)
	for i := 0; ; i++ {
		for len(cuts) > 0 && cuts[0] == i {
			cuts = cuts[1:]
			dir := filepath.Join(base, fmt.Sprint(i, len(cuts)))
			if err := d.afterCut(dir, rand.New(rand.NewPCG(uint64(i), uint64(len(cuts))))); err != nil {
				t.Fatal(err)
			}
			look(i, dir, acked)
			if err := os.RemoveAll(dir); err != nil {
				t.Fatal(err)
			}
		}
		if i == len(run.events) {
			return
		}
		if e := run.events[i]; e.acked != "" {
			acked = append(acked, e.acked)
		} else {
			e.do(d)
		}
	}
}

// whole says what is wrong with a folder after the cut.
func whole(t *testing.T, dir string, acked []string) error {
	t.Helper()
	f, err := store.Open(t.Context(), dir, store.Options{Server: true})
	if err != nil {
		return err
	}
	defer f.Close()
	all, err := f.Check(t.Context())
	if err != nil {
		return err
	}
	for _, v := range all {
		if !v.OK {
			return errors.New(v.String())
		}
	}
	found := map[string]int{}
	subjects, err := f.Subjects(t.Context(), "")
	if err != nil {
		return err
	}
	for _, s := range subjects {
		entries, err := f.Entries(t.Context(), s.Subject, 0)
		if err != nil {
			return err
		}
		for _, e := range entries {
			found[e.ID]++
		}
	}
	for _, id := range acked {
		if found[id] != 1 {
			return fmt.Errorf("%s was acknowledged and is there %d times", id, found[id])
		}
	}
	return nil
}
