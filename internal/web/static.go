// SPDX-License-Identifier: Apache-2.0

package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"net/http"
	"path"
	"slices"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/dejavu/dejavusansbold"

	"witnessmark/internal/draw"
)

//go:embed static
var staticFiles embed.FS

// assets are the files that pages load, by name, with their type.
var assets = loadAssets()

// stamp changes with any of the assets, so that browsers may keep them for
// good under their path.
var stamp = stampOf(assets)

type asset struct {
	kind string
	data []byte
}

var assetKinds = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml", ".ttf": "font/ttf",
	".webmanifest": "application/manifest+json",
}

func loadAssets() map[string]asset {
	all := map[string]asset{
		"sans.ttf":      {assetKinds[".ttf"], dejavusans.TTF},
		"sans-bold.ttf": {assetKinds[".ttf"], dejavusansbold.TTF},
		"drawing.css":   {assetKinds[".css"], []byte(draw.Stylesheet())},
		"theme.css":     {assetKinds[".css"], []byte(themeCSS())},
	}
	files, err := fs.ReadDir(staticFiles, "static")
	if err != nil {
		panic(err) // embedded: only a broken build lacks it
	}
	for _, f := range files {
		data, err := staticFiles.ReadFile("static/" + f.Name())
		if err != nil {
			panic(err)
		}
		all[f.Name()] = asset{assetKinds[path.Ext(f.Name())], data}
	}
	return all
}

// themeCSS gives every ink its colour, light and dark.
func themeCSS() string {
	return ":root{color-scheme:light dark;" + draw.Light.Properties() + "}\n" +
		"@media (prefers-color-scheme:dark){:root{" + draw.Dark.Properties() + "}}\n" +
		"@media print{:root{" + draw.Light.Properties() + "}}\n"
}

func stampOf(all map[string]asset) string {
	h := sha256.New()
	names := make([]string, 0, len(all))
	for n := range all {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		h.Write([]byte(n))
		h.Write(all[n].data)
	}
	return hex.EncodeToString(h.Sum(nil)[:6])
}

// href is where a page finds an asset.
func href(name string) string { return "/static/" + stamp + "/" + name }

func (s *server) static(q *request) error {
	a, ok := assets[q.PathValue("file")]
	if !ok {
		return errNotFound
	}
	h := q.w.Header()
	h.Set("Content-Type", a.kind)
	if q.PathValue("stamp") == stamp {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	q.w.WriteHeader(http.StatusOK)
	_, err := q.w.Write(a.data)
	return err
}

// serviceWorker stands at the root, because a worker sees only what is below
// it, and is asked for anew every time.
func (s *server) serviceWorker(q *request) error {
	a := assets["sw.js"]
	q.w.Header().Set("Content-Type", a.kind)
	q.w.WriteHeader(http.StatusOK)
	_, err := q.w.Write(a.data)
	return err
}
