package stitch

import (
	"errors"
	"strings"
	"testing"
	"testing/fstest"

	"countwright/calc/entry"
)

// A row that is right, for tests that spoil one thing of it.
const goodRow = `[[stitch]]
id = "sc"
kind = "basic"
us = { name = "single crochet", abbr = ["sc"] }
height = 1
chain = 1
counts = "usually not"
consumes = 1
makes = 1
source = "here"
`

func TestFaultyRowsAreNamed(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{`"basic"`, `"basics"`, `kind "basics" is none of: basic, chain`},
		{`counts = "usually not"`, `counts = "mostly"`, `counts "mostly" is none of: never, usually not`},
		{`id = "sc"`, `id = "SC"`, `entry "SC": id is missing or not in lower case`},
		{`source = "here"`, ``, `entry "sc": source is missing`},
		{`height = 1`, `height = 11`, `entry "sc": height 11 is not between 0 and 10`},
		{`height = 1`, `hight = 1`, `hight`},
		{`chain = 1`, `chain = 0`, `entry "sc": counts is said of a turning chain, but chain is missing`},
		{`makes = 1`, `makes = -1`, `entry "sc": consumes and makes can't be less than 0`},
		{`makes = 1`, "makes = 1\nbase = \"dc\"", `entry "sc": base "dc" is not in the files`},
		{`makes = 1`, "makes = 1\nbase = \"sc\"", `entry "sc": base is the stitch itself`},
		{`makes = 1`, "makes = 1\nparts = [{ stitch = \"dc\", many = 2 }]", `entry "sc": part "dc" is not in the files`},
		{`makes = 1`, "makes = 1\nparts = [{ stitch = \"sc\" }]", `entry "sc": part "sc": many is missing`},
		{`kind = "basic"`, `kind = "group"`, `entry "sc": a group needs parts`},
		{`makes = 1`, "makes = 1\nsymbol = { shape = \"square\" }", `shape "square" is none of`},
		{`source = "here"`, "source = \"here\"\n" + goodRow, `entry "sc": the id stands 2 times`},
		{`name = "single crochet"`, `name = ""`, `entry "sc": us has no name`},
	} {
		data := strings.Replace(goodRow, c.old, c.new, 1)
		_, err := readRows(fstest.MapFS{"a.toml": {Data: []byte(data)}}, []string{"a.toml"})
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "a.toml") {
			t.Errorf("%s for %s: the error is %v, want one with %q", c.new, c.old, err, c.want)
		}
	}
	if rows, err := readRows(fstest.MapFS{"a.toml": {Data: []byte(goodRow)}}, []string{"a.toml"}); err != nil || len(rows) != 1 {
		t.Errorf("the good row: %v, %v", rows, err)
	}
}

func TestAllFaultsAtOnce(t *testing.T) {
	data := strings.Replace(strings.Replace(goodRow, `source = "here"`, ``, 1), `height = 1`, `height = 99`, 1)
	_, err := readRows(fstest.MapFS{"a.toml": {Data: []byte(data)}}, []string{"a.toml"})
	var one *entry.Error
	if !errors.As(err, &one) || strings.Count(err.Error(), "\n") != 1 {
		t.Errorf("want two faults on two lines, got %v", err)
	}
}

// The embedded files pass their own checks and hold what beginners ask for.
func TestEmbeddedRows(t *testing.T) {
	rows, err := readRows(stitchFiles, stitchNames)
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) < 60 {
		t.Errorf("%d rows, want at least 60", len(rows))
	}
	entries, err := stitchFiles.ReadDir("stitches")
	if err != nil || len(entries) != len(stitchNames) {
		t.Errorf("%d files in the folder, %d are read (%v)", len(entries), len(stitchNames), err)
	}
}
