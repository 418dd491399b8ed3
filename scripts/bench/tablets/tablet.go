// SPDX-License-Identifier: Apache-2.0

package main

import (
	"bufio"
	"context"
	"crypto/rand"
	"fmt"
	"io"
	mrand "math/rand/v2"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
	"witnessmark/record"
)

// tablet is one browser with somebody logged in.
type tablet struct {
	url    string
	job    string // path of its job
	client *http.Client
}

// tally is what all tablets saw.
type tally struct {
	mu     sync.Mutex
	acked  map[string]bool
	posts  []time.Duration
	pages  []time.Duration
	failed int
	heard  atomic.Int64
}

func (s *server) logIn(number string) (*tablet, error) {
	jar, err := cookiejar.New(nil)
	if err != nil {
		return nil, err
	}
	t := &tablet{s.url, "/jobs/" + number, &http.Client{Jar: jar, Transport: &http.Transport{MaxIdleConnsPerHost: 2},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
	for _, m := range demo.TheCast().People {
		if m.Role == job.Manager {
			_, err = t.post("/login", url.Values{"person": {m.ID}, "pin": {m.PIN}})
		}
	}
	return t, err
}

func (t *tablet) get(path string) ([]byte, error) {
	res, err := t.client.Get(t.url + path)
	if err != nil {
		return nil, err
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err == nil && res.StatusCode != http.StatusOK {
		err = fmt.Errorf("%s: %s", path, res.Status)
	}
	return data, err
}

func (t *tablet) post(path string, v url.Values) ([]byte, error) {
	res, err := t.client.PostForm(t.url+path, v)
	if err != nil {
		return nil, err
	}
	defer res.Body.Close()
	data, err := io.ReadAll(res.Body)
	if err == nil && res.StatusCode != http.StatusSeeOther {
		err = fmt.Errorf("%s: %s: %.300s", path, res.Status, data)
	}
	return data, err
}

// work enters until the time is up.
func (t *tablet) work(ctx context.Context, think time.Duration, all *tally) {
	for n := mrand.IntN(20); ; n++ {
		position := 1 + n%4 // every invented engine has four
		began := time.Now()
		_, err := t.get(fmt.Sprintf("%s/position/%d/%s", t.job, position, job.AsFitted))
		page := time.Since(began)
		all.saw(page, err)
		select {
		case <-ctx.Done():
			return
		case <-time.After(time.Duration(mrand.ExpFloat64() * float64(think))):
		}
		id, err := record.NewID(time.Now(), rand.Reader)
		if err != nil {
			all.saw(0, err)
			return
		}
		path, v := "/reading", url.Values{"id": {id}, "position": {fmt.Sprint(position)}, "phase": {job.AsFitted}, "gauge": {"SG-1"}, "bar": {"0.051"}}
		if n%5 == 4 {
			path, v = "/note", url.Values{"id": {id}, "words": {"A note of the load test, " + id}}
		}
		began = time.Now()
		_, err = t.post(t.job+path, v)
		all.entered(id, time.Since(began), err)
	}
}

func (a *tally) saw(d time.Duration, err error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.pages = append(a.pages, d)
	a.note(err)
}

func (a *tally) entered(id string, d time.Duration, err error) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.posts = append(a.posts, d)
	if a.note(err) {
		a.acked[id] = true
	}
}

// note counts a failure and shows the first ones.
func (a *tally) note(err error) (ok bool) {
	if err == nil {
		return true
	}
	if a.failed++; a.failed <= 5 {
		fmt.Println("failed:", err)
	}
	return false
}

// listen counts the entries that the tablet's event stream tells of.
func (t *tablet) listen(ctx context.Context) (heard int64) {
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, t.url+t.job+"/events", nil)
	if err != nil {
		return 0
	}
	res, err := t.client.Do(r)
	if err != nil {
		return 0
	}
	defer res.Body.Close()
	lines := bufio.NewScanner(res.Body)
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "event: entry") {
			heard++
		}
	}
	return heard
}
