package picture

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// golden compares with a file of testdata.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; if that is meant, run the test with -update\n%s", file, got)
	}
}

// readXML reads a document whole and returns its texts.
func readXML(data []byte) (texts []string, err error) {
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return texts, nil
		}
		if err != nil {
			return nil, err
		}
		if c, ok := token.(xml.CharData); ok && strings.TrimSpace(string(c)) != "" {
			texts = append(texts, string(c))
		}
	}
}

func TestSVG(t *testing.T) {
	data := SVG(sample())
	if _, err := readXML(data); err != nil {
		t.Fatal(err)
	}
	golden(t, "sample.svg", data)
}

// Whatever a label holds, the document stays one, and what is legible stays
// in it.
func TestSVGEscapes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.String().Draw(t, "text")
		d := &Drawing{Width: 10, Height: 10, Title: "a" + s, Description: "b" + s}
		d.Add(Text{Text: "c" + s, Size: 3, Colour: Ink})
		texts, err := readXML(SVG(d))
		if err != nil {
			t.Fatalf("%q breaks the document: %v", s, err)
		}
		if len(texts) != 3 || texts[2] != "c"+cleanLine(s) {
			t.Fatalf("%q is read back as %q", s, texts)
		}
	})
}

func TestCleanLine(t *testing.T) {
	for in, want := range map[string]string{
		"53 cm · 74 sts":         "53 cm · 74 sts",
		"two\nlines\tand a tab":  "two lines and a tab",
		"\x1b[31mred\x00":        "[31mred",
		"a\u202eb\u2066c\u200fd": "abcd",
		"broken \xff bytes":      "broken  bytes",
		"Größe Рукав ⅓":          "Größe Рукав ⅓",
	} {
		if got := cleanLine(in); got != want {
			t.Errorf("cleanLine(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestNum(t *testing.T) {
	for in, want := range map[float64]string{0: "0", -0.001: "0", 1.005: "1", 2.5: "2.5", -3.14159: "-3.14", 100: "100"} {
		if got := num(in); got != want {
			t.Errorf("num(%v) = %q, want %q", in, got, want)
		}
	}
}
