package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"countwright/bot/room"
	"countwright/commands"
	"countwright/store"
)

var update = flag.Bool("update", false, "rewrite the generated parts of README.md and its picture")

// shown is what the README's talk asks, as a newcomer would.
var shown = []string{
	"@mira /gauge swatch stitches:21 rows:15 width:15 cm height:15 cm hook:5 yarn:rust wool stitch:hdc weight:17 g washed:yes",
	"/even shape stitches:87 increase:14",
	"@mira /resize pattern:cardigan chest:112 swatch:rust wool",
}

// readmePicture is the schematic that the README shows.
const readmePicture = "../.pictures/cardigan.png"

// most is how many lines of an answer the README shows.
const most = 46

func TestReadme(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	talk, drawn := readmeTalk(t)
	want := between(t, string(text), "talk", talk)
	want = between(t, want, "commands", commandTable())
	if *update {
		if err := os.WriteFile("../README.md", []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.MkdirAll(filepath.Dir(readmePicture), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(readmePicture, drawn, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if want != string(text) {
		t.Error(`README.md is stale: run "go test ./bot -run TestReadme -update"`)
	}
	kept, err := os.ReadFile(readmePicture)
	if err != nil {
		t.Fatal(err)
	}
	if share := differing(t, kept, drawn); share > 0.001 {
		t.Errorf(`%.1f %% of the README's picture is stale: run "go test ./bot -run TestReadme -update"`, 100*share)
	}
}

// readmeTalk asks in a new practice room and returns what a newcomer
// sees, and the last picture drawn.
func readmeTalk(t *testing.T) (text string, drawn []byte) {
	t.Helper()
	ctx := context.Background()
	s, err := store.Open(ctx, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := room.Furnish(ctx, services(s)); err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	var b strings.Builder
	for _, line := range shown {
		out := &strings.Builder{}
		r := &room.Room{
			Set: commands.All(services(s), nil), Out: out, Pictures: folder,
			Clock: &room.Clock{Base: func() time.Time { return time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC) }},
		}
		if _, err := r.Do(ctx, line); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(strings.ReplaceAll(out.String(), folder, "pictures")), "\n")
		if len(lines) > most {
			lines = append(lines[:most], fmt.Sprintf("… (%d more lines, and the schematic below)", len(lines)-most))
		}
		fmt.Fprintf(&b, "you> %s\n\n%s\n\n", line, strings.Join(lines, "\n"))
	}
	pictures, err := filepath.Glob(filepath.Join(folder, "*.png"))
	if err != nil || len(pictures) == 0 {
		t.Fatalf("no picture was drawn: %v", err)
	}
	drawn, err = os.ReadFile(pictures[len(pictures)-1])
	if err != nil {
		t.Fatal(err)
	}
	return "```text\n" + strings.TrimSpace(b.String()) + "\n```\n\n![Schematic of the cardigan's pieces with widths, lengths and stitch counts](.pictures/cardigan.png)\n", drawn
}

func commandTable() string {
	set := commands.All(commands.Services{}, nil)
	var b strings.Builder
	b.WriteString("| command | what it does | options |\n|---|---|---|\n")
	for _, family := range set.Commands {
		list := family.Sub
		if len(list) == 0 {
			list = []*commands.Command{family}
		}
		for _, c := range list {
			var options []string
			for _, o := range c.Options {
				name := o.Spec().Name
				if o.Spec().Required {
					name = "**" + name + "**"
				}
				options = append(options, name)
			}
			short := c.Short
			if c.For == commands.Hosts {
				short += " (hosts)"
			}
			fmt.Fprintf(&b, "| `/%s` | %s | %s |\n", c.Path(), short, strings.Join(options, ", "))
		}
	}
	b.WriteString("\nRequired options are in bold.\n")
	return b.String()
}

// between replaces what stands between a part's two comment lines.
func between(t *testing.T, text, part, body string) string {
	t.Helper()
	start := strings.Index(text, "<!-- "+part+":")
	end := strings.Index(text, "<!-- end of "+part+" -->")
	if start < 0 || end < start {
		t.Fatalf("README.md has no place for the %s", part)
	}
	start += strings.Index(text[start:], "\n") + 1
	return text[:start] + body + text[end:]
}

// differing is the share of pixels that differ visibly: drawing may round
// differently on another kind of processor.
func differing(t *testing.T, a, b []byte) float64 {
	t.Helper()
	one, two := decode(t, a), decode(t, b)
	if one.Bounds() != two.Bounds() {
		return 1
	}
	bad, all := 0, 0
	for y := one.Bounds().Min.Y; y < one.Bounds().Max.Y; y++ {
		for x := one.Bounds().Min.X; x < one.Bounds().Max.X; x++ {
			all++
			r1, g1, b1, _ := one.At(x, y).RGBA()
			r2, g2, b2, _ := two.At(x, y).RGBA()
			if apart(r1, r2)+apart(g1, g2)+apart(b1, b2) > 0x3000 {
				bad++
			}
		}
	}
	return float64(bad) / float64(all)
}

func apart(a, b uint32) uint32 { return max(a, b) - min(a, b) }

func decode(t *testing.T, body []byte) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	return img
}
