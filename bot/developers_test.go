package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestNamedTestsExist: what DEVELOPERS.md says is tested is tested under that
// name.
func TestNamedTestsExist(t *testing.T) {
	text, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	var source strings.Builder
	err = filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		body, err := os.ReadFile(path)
		source.Write(body)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	names := regexp.MustCompile("`((?:Test|Fuzz|Benchmark)[A-Z]\\w*)`").FindAllStringSubmatch(string(text), -1)
	for _, n := range names {
		if !strings.Contains(source.String(), "\nfunc "+n[1]+"(") {
			t.Errorf("DEVELOPERS.md names %s, which is nowhere", n[1])
		}
	}
	if len(names) < 40 {
		t.Errorf("only %d tests are named", len(names))
	}
}
