// SPDX-License-Identifier: Apache-2.0

package arch

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

const module = "witnessmark"

// rank orders the packages: one imports only those of a lower rank, so that
// data flows one way. A folder's packages share its rank and may import each
// other. A new folder is added here, where its rank says what it is for.
var rank = map[string]int{
	// Calculations, importable by others: values in, values out.
	"units":     0,
	"metrology": 1,
	"oil":       1,
	"bearing":   2,
	"fastener":  2,
	"mesh":      2,
	"scope":     2,
	"life":      2,
	"film":      3,
	// The engine sheet and the record, importable by others.
	"engine": 4,
	"record": 4,
	"sheets": 5,
	"plans":  5,
	// The application.
	"internal/draw":        10,
	"internal/filmwork":    10,
	"internal/photo":       10,
	"internal/studycsv":    10,
	"internal/checks":      10,
	"internal/job":         11,
	"internal/export":      11,
	"internal/store":       12,
	"internal/shop":        13,
	"internal/demo":        14,
	"internal/report":      15,
	"internal/api":         16,
	"internal/web":         17,
	"internal/cli":         20,
	"internal/arch":        30,
	"internal/story":       30,
	"internal/browsertest": 0,
	"internal/faults":      30,
	"scripts":              30,
	"cmd":                  30,
}

// calculations are the packages without clock, file, network or database.
var calculations = []string{"units", "metrology", "bearing", "oil", "film", "fastener", "mesh", "scope", "life"}

// modules lists what the top-level packages may rest on beside the standard
// library, at any depth, and which of them may.
var modules = map[string][]string{
	"gonum.org/v1/gonum":                  {"metrology", "bearing", "oil", "film", "fastener", "mesh", "scope", "life", "plans"},
	"golang.org/x/tools":                  {"life"}, // sets of whole numbers, below the optimiser of gonum
	"github.com/goccy/go-yaml":            {"engine", "sheets"},
	"go.yaml.in/yaml/v3":                  {"scope", "plans"},
	"github.com/govalues/decimal":         {"scope", "life", "plans"},
	"github.com/oklog/ulid/v2":            {"record"},
	"github.com/transparency-dev/formats": {"record"},
	"golang.org/x/mod":                    {"record"},
}

// tests may use these too, at the first step; what they rest on is theirs.
var testModules = []string{
	"pgregory.net/rapid",
	"github.com/goccy/go-yaml",
	"github.com/santhosh-tekuri/jsonschema/v6",
	"github.com/rogpeppe/go-internal",
}

// impure are the standard packages that a calculation does without.
var impure = []string{"os", "os/exec", "os/user", "net", "net/http", "database/sql", "log", "log/slog", "syscall", "io/ioutil"}

// folder is the part of an import path that rank knows, or "" for packages of
// others.
func folder(path string) string {
	rest, own := strings.CutPrefix(path, module+"/")
	if !own {
		return ""
	}
	parts := strings.Split(rest, "/")
	if parts[0] == "internal" && len(parts) > 1 {
		return "internal/" + parts[1]
	}
	return parts[0]
}

// TestImportsGoDown: every package imports only packages of a lower rank.
func TestImportsGoDown(t *testing.T) {
	for _, p := range packages(t) {
		from := folder(p.ImportPath)
		if from == "" {
			continue
		}
		have, listed := rank[from]
		if !listed {
			t.Errorf("folder %s has no rank: give it one in internal/arch", from)
			continue
		}
		// A test from outside the package may look at it from above.
		for _, path := range slices.Concat(p.Imports, p.TestImports) {
			to := folder(path)
			if to == "" || to == from {
				continue
			}
			if rank[to] >= have {
				t.Errorf("%s imports %s, which is not below it", p.ImportPath, path)
			}
		}
	}
}

// TestTopLevelStandsAlone: what others may import never needs internal/, nor a
// calculation the sheet or the record; both hold for tests too.
func TestTopLevelStandsAlone(t *testing.T) {
	for _, p := range packages(t) {
		from := folder(p.ImportPath)
		if from == "" || rank[from] >= 10 || strings.HasPrefix(from, "internal/") {
			continue
		}
		for _, path := range slices.Concat(p.Imports, p.TestImports, p.XTestImports) {
			to := folder(path)
			if strings.HasPrefix(to, "internal/") || to == "cmd" {
				t.Errorf("%s imports %s", p.ImportPath, path)
			}
			if slices.Contains(calculations, from) && (to == "engine" || to == "record" || to == "sheets" || to == "plans") {
				t.Errorf("%s is a calculation and imports %s", p.ImportPath, path)
			}
		}
	}
}

// TestCalculationsArePure: no clock, file, network, database or log.
func TestCalculationsArePure(t *testing.T) {
	for _, p := range packages(t) {
		if !slices.Contains(calculations, folder(p.ImportPath)) {
			continue
		}
		for _, path := range p.Imports {
			if slices.Contains(impure, path) {
				t.Errorf("%s imports %s", p.ImportPath, path)
			}
		}
	}
	for _, f := range tracked(t) {
		if !slices.Contains(calculations, folder(module+"/"+f)) || !strings.HasSuffix(f, ".go") || strings.HasSuffix(f, "_test.go") {
			continue
		}
		for i, line := range lines(t, f) {
			for _, call := range []string{"time.Now(", "time.Since(", "time.Until(", "fmt.Print"} {
				if code, _, _ := strings.Cut(line, "//"); strings.Contains(code, call) {
					t.Errorf("%s:%d: a calculation calls %s", f, i+1, strings.TrimSuffix(call, "("))
				}
			}
		}
	}
}

// TestModules: the top-level packages rest on the listed modules and no other.
func TestModules(t *testing.T) {
	all := packages(t)
	for _, p := range all {
		from := folder(p.ImportPath)
		if from == "" || strings.HasPrefix(from, "internal/") || rank[from] >= 10 {
			continue
		}
		for _, m := range reach(all, p.Imports) {
			if !slices.Contains(modules[m], from) {
				t.Errorf("%s rests on module %s, which the list does not give it", p.ImportPath, m)
			}
		}
		for _, path := range slices.Concat(p.TestImports, p.XTestImports) {
			m := all[path].module()
			if m != "" && m != module && !slices.Contains(testModules, m) && !slices.Contains(modules[m], from) {
				t.Errorf("%s tests with module %s, which is not listed", p.ImportPath, m)
			}
		}
	}
}

// reach lists the modules of others that imports lead to, at any depth.
func reach(all map[string]pkg, imports []string) []string {
	seen, found := map[string]bool{}, map[string]bool{}
	for len(imports) > 0 {
		path := imports[0]
		imports = imports[1:]
		if seen[path] {
			continue
		}
		seen[path] = true
		if m := all[path].module(); m != "" && m != module {
			found[m] = true
		}
		imports = append(slices.Clone(imports), all[path].Imports...)
	}
	var list []string
	for m := range found {
		list = append(list, m)
	}
	slices.Sort(list)
	return list
}

// TestRulesBite: the rules find the faults that they are there for.
func TestRulesBite(t *testing.T) {
	all := map[string]pkg{
		"a": {ImportPath: "a", Imports: []string{"b"}},
		"b": {ImportPath: "b", Imports: []string{"a"}, Module: &struct{ Path string }{"example.org/b"}},
	}
	if got := fmt.Sprint(reach(all, []string{"a"})); got != "[example.org/b]" {
		t.Errorf("reach finds %s", got)
	}
	for path, want := range map[string]string{
		"witnessmark/internal/web/page/job": "internal/web", "witnessmark/units": "units", "fmt": "", "witnessmark/cmd/witnessmark": "cmd",
	} {
		if got := folder(path); got != want {
			t.Errorf("folder of %s is %q, want %q", path, got, want)
		}
	}
}
