// SPDX-License-Identifier: Apache-2.0

package faults

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"io/fs"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"witnessmark/internal/demo"
	"witnessmark/internal/job"
)

// TestNotPhotos sends what poses as a photo, a bomb, and a photo of which half
// is missing. Each is refused with its reason, nothing of it is kept, and the
// note that came with it is there to send again.
func TestNotPhotos(t *testing.T) {
	dir := workshop(t)
	s := serve(t, dir)
	b := s.as(job.Technician)
	at := "/jobs/" + demo.TheCast().HalfWay + "/note"
	before, entries := blobs(t, dir), len(sound(t, dir))
	photo := smallPhoto(t)
	for name, c := range map[string]struct {
		file
		against, next string
	}{
		"SVG":          {file{"photo.svg", "image/svg+xml", []byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`)}, "no photo that can be read here", "JPEG, PNG or WebP"},
		"SVG as JPEG":  {file{"photo.jpg", "image/jpeg", []byte(`<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"/>`)}, "no photo that can be read here", "JPEG, PNG or WebP"},
		"HTML as JPEG": {file{"photo.jpg", "image/jpeg", []byte(`<!doctype html><script>alert(1)</script>`)}, "no photo that can be read here", "JPEG, PNG or WebP"},
		"bomb":         {file{"photo.png", "image/png", bomb(30_000, 30_000)}, "30000 × 30000 pixels, more than 50 megapixels", "lower resolution"},
		"half":         {file{"photo.jpg", "image/jpeg", photo[:len(photo)/2]}, "damaged or was only half sent", "end it again"},
		"empty":        {file{"photo.jpg", "image/jpeg", nil}, "the file is empty", "ake the photo again"},
		"too large":    {file{"photo.jpg", "image/jpeg", append(append([]byte{}, photo...), make([]byte, 20<<20)...)}, "larger than 20 MB", "lower resolution"},
	} {
		t.Run(name, func(t *testing.T) {
			b.t = t
			id := newID(t)
			a := b.upload(at, url.Values{"id": {id}, "words": {"With a photo of " + name}}, c.file)
			a.refused(http.StatusUnprocessableEntity, parts{"Write a note", "hoto: ", c.against, c.next})
			if !strings.Contains(a.text(), "With a photo of "+name) {
				t.Errorf("what was typed is gone: %s", a.text())
			}
			if v := a.field("id"); v != id {
				t.Errorf("sent again it would be another entry: %q, not %q", v, id)
			}
		})
	}
	if after := blobs(t, dir); len(after) != len(before) {
		t.Errorf("%d files beside the log, and %d before", len(after), len(before))
	}
	if n := len(sound(t, dir)); n != entries {
		t.Errorf("%d entries, and %d before", n, entries)
	}
}

// TestDisguised sends a photo with a page behind it under a name that leads
// elsewhere: what is kept is the picture alone, and it is served as one.
func TestDisguised(t *testing.T) {
	dir := workshop(t)
	s := serve(t, dir)
	b := s.as(job.Technician)
	at := "/jobs/" + demo.TheCast().HalfWay
	before := blobs(t, dir)
	data := append(smallPhoto(t), []byte(`<html><script>alert("hidden")</script></html>`)...)
	b.upload(at+"/note", url.Values{"id": {newID(t)}, "words": {"x"}}, file{"../../../../tmp/evil.html", "text/html", data}).kept()
	found := 0
	for path, kept := range blobs(t, dir) {
		if before[path] != "" {
			continue
		}
		if strings.Contains(kept, "hidden") || strings.Contains(path, "evil") {
			t.Errorf("%s holds what came with the photo", path)
		}
		a := b.get(at + "/photo/blob:" + filepath.Base(path) + "/file")
		if a.status == http.StatusNotFound {
			continue // the words of the note
		}
		found++
		for name, want := range map[string]string{"Content-Type": "image/jpeg", "X-Content-Type-Options": "nosniff", "Content-Security-Policy": "default-src 'none'; sandbox"} {
			if got := a.header.Get(name); got != want {
				t.Errorf("%s: %q, want %q", name, got, want)
			}
		}
	}
	if found != 1 {
		t.Errorf("%d photos were kept", found)
	}
	err := filepath.WalkDir(filepath.Dir(dir), func(path string, _ fs.DirEntry, err error) error {
		if strings.Contains(path, "evil") {
			t.Errorf("there is %s", path)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
	if _, err := os.Stat("/tmp/evil.html"); err == nil {
		t.Error("the file name was followed")
	}
}

// TestHalfSent breaks off in the middle of a form, with and without a photo,
// and sends one whose length is right and whose end is missing. Nothing is
// kept, nothing lies about, and the same form counts once when it comes whole.
func TestHalfSent(t *testing.T) {
	dir := workshop(t)
	s := serve(t, dir)
	b := s.as(job.Technician)
	at := "/jobs/" + demo.TheCast().HalfWay + "/note"
	before, entries := blobs(t, dir), len(sound(t, dir))
	photo := file{"photo.jpg", "image/jpeg", smallPhoto(t)}
	v := url.Values{"id": {newID(t)}, "words": {"Half of it came"}}
	body, kind := multipartForm(t, v, photo)
	for _, part := range []int{1, 200, len(body) / 2, len(body) - 1} {
		b.breakOff(at, kind, body[:part], len(body))
	}
	plain := v.Encode()
	b.breakOff(at, "application/x-www-form-urlencoded", []byte(plain[:len(plain)/2]), len(plain))
	for _, accept := range []string{"", "application/json"} {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, b.url+at, bytes.NewReader(body[:len(body)-60]))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", kind)
		b.accept = accept
		b.must(r, nil).refused(http.StatusBadRequest, parts{"Only part of it arrived", "The form that was sent", "ends before its end", "Send it again"})
	}
	b.accept = ""
	if n := len(sound(t, dir)); n != entries {
		t.Errorf("%d entries, and %d before", n, entries)
	}
	if after := blobs(t, dir); len(after) != len(before) {
		t.Errorf("%d files beside the log, and %d before", len(after), len(before))
	}
	for range 2 {
		b.upload(at, v, photo).kept()
	}
	if n := len(sound(t, dir)); n != entries+1 {
		t.Errorf("whole and twice it made %d entries of %d", n, entries)
	}
}

// breakOff sends the beginning of a form and hangs up. The answer to a request
// on another connection says that the server has gone on.
func (b *tablet) breakOff(path, kind string, part []byte, whole int) {
	b.t.Helper()
	c, err := net.Dial("tcp", strings.TrimPrefix(b.url, "http://"))
	if err != nil {
		b.t.Fatal(err)
	}
	u, err := url.Parse(b.url)
	if err != nil {
		b.t.Fatal(err)
	}
	fmt.Fprintf(c, "POST %s HTTP/1.1\r\nHost: %s\r\nContent-Type: %s\r\nContent-Length: %d\r\nCookie: %s\r\n\r\n%s", path, u.Host, kind, whole, b.client.Jar.Cookies(u)[0], part)
	if err := c.(*net.TCPConn).CloseWrite(); err != nil {
		b.t.Error(err)
	}
	// The server answers, or hangs up too: either way it has seen the end.
	if res, err := http.ReadResponse(bufio.NewReader(c), nil); err == nil {
		if res.StatusCode < 400 {
			b.t.Errorf("half a form was answered with %s", res.Status)
		}
		res.Body.Close()
	}
	c.Close()
	if a := b.get("/"); a.status != http.StatusOK {
		b.t.Errorf("afterwards / answers %d", a.status)
	}
}

// bomb is the head of a PNG that claims so many pixels.
func bomb(w, h uint32) []byte {
	var b bytes.Buffer
	b.WriteString("\x89PNG\r\n\x1a\n")
	head := binary.BigEndian.AppendUint32(nil, w)
	head = append(binary.BigEndian.AppendUint32(head, h), 8, 2, 0, 0, 0)
	for _, chunk := range []struct {
		name string
		data []byte
	}{{"IHDR", head}, {"IDAT", []byte{0x78, 0x9c, 0xed, 0xc1, 0x01}}, {"IEND", nil}} {
		_ = binary.Write(&b, binary.BigEndian, uint32(len(chunk.data)))
		b.WriteString(chunk.name)
		b.Write(chunk.data)
		_ = binary.Write(&b, binary.BigEndian, crc32.ChecksumIEEE(append([]byte(chunk.name), chunk.data...)))
	}
	return b.Bytes()
}

// smallPhoto is a photo as a tablet takes it, only small.
func smallPhoto(t testing.TB) []byte {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for x := range 64 {
		for y := range 48 {
			img.Set(x, y, color.RGBA{uint8(4 * x), uint8(5 * y), 90, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
