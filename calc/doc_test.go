package calc

import (
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestMap: each package is on the map of doc.go.
func TestMap(t *testing.T) {
	page, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	folders, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, folder := range folders {
		if folder.IsDir() && !strings.Contains(string(page), "//   - "+folder.Name()+": ") {
			t.Errorf("package %s is not on the map", folder.Name())
		}
	}
}

// pure is what the packages may import beside each other: nothing that reaches
// out of the program or differs from run to run. io/fs and embed read the
// embedded tables.
var pure = map[string]bool{
	"bytes": true, "cmp": true, "embed": true, "errors": true, "fmt": true, "io/fs": true, "iter": true, "maps": true,
	"math": true, "math/big": true, "math/bits": true, "path": true, "slices": true, "sort": true, "strconv": true,
	"strings": true, "sync": true, "unicode": true, "unicode/utf8": true, "hash/fnv": true, "container/heap": true,
	"regexp": true, "time": true, "unicode/utf16": true,
	"github.com/pelletier/go-toml/v2": true, "github.com/pelletier/go-toml/v2/unstable": true,
}

// TestPure reads every import: no files, no network, no chance; and of package
// time no clock and no time zone of the machine.
func TestPure(t *testing.T) {
	files, err := filepath.Glob("*/*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, clock := range []string{"time.Now", "time.Since", "time.Until", "time.Sleep", "time.After", "time.Local"} {
			if strings.Contains(string(text), clock) {
				t.Errorf("%s has %s", name, clock)
			}
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, text, parser.ImportsOnly)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, spec := range file.Imports {
			path, err := strconv.Unquote(spec.Path.Value)
			if err != nil || !pure[path] && !strings.HasPrefix(path, "countwright/calc/") {
				t.Errorf("%s imports %s", name, spec.Path.Value)
			}
		}
	}
}
