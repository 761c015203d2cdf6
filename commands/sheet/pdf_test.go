package sheet

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"
)

// reading is a PDF as a reader sees it. It reads what the standard says, not
// what this package writes: cross-references from the last one back, objects
// where they point, streams unpacked. Source: ISO 32000-1, 7.3 to 7.5.
type reading struct {
	objects map[int]string // the text of each object, the newest one
	streams map[int][]byte // unpacked
	trailer string         // the newest one
}

var (
	startXref  = regexp.MustCompile(`startxref\s+(\d+)\s+%%EOF\s*$`)
	subsection = regexp.MustCompile(`^(\d+) (\d+)\s*$`)
	inUse      = regexp.MustCompile(`^(\d{10}) (\d{5}) ([nf])\s*$`)
	prevEntry  = regexp.MustCompile(`/Prev (\d+)`)
	reference  = regexp.MustCompile(`(\d+) 0 R`)
)

func open(t testing.TB, pdf []byte) *reading {
	t.Helper()
	d := &reading{objects: map[int]string{}, streams: map[int][]byte{}}
	m := startXref.FindSubmatch(pdf)
	if m == nil {
		t.Fatal("no startxref at the end")
	}
	at, _ := strconv.Atoi(string(m[1]))
	for {
		trailer := d.section(t, pdf, at)
		if d.trailer == "" {
			d.trailer = trailer
		}
		prev := prevEntry.FindStringSubmatch(trailer)
		if prev == nil {
			return d
		}
		at, _ = strconv.Atoi(prev[1])
	}
}

// section reads one table of cross-references and returns its trailer.
func (d *reading) section(t testing.TB, pdf []byte, at int) string {
	t.Helper()
	lines := strings.SplitAfter(string(pdf[at:]), "\n")
	if lines[0] != "xref\n" {
		t.Fatalf("%d is no place of cross-references: %q", at, lines[0])
	}
	i := 1
	for lines[i] != "trailer\n" {
		m := subsection.FindStringSubmatch(lines[i])
		if m == nil {
			t.Fatalf("not a subsection: %q", lines[i])
		}
		first, _ := strconv.Atoi(m[1])
		n, _ := strconv.Atoi(m[2])
		for j := range n {
			e := inUse.FindStringSubmatch(lines[i+1+j])
			if e == nil || len(lines[i+1+j]) != 20 {
				t.Fatalf("not an entry of 20 bytes: %q", lines[i+1+j])
			}
			offset, _ := strconv.Atoi(e[1])
			if e[3] == "n" {
				d.object(t, pdf, first+j, offset)
			}
		}
		i += 1 + n
	}
	trailer, _, _ := strings.Cut(string(pdf[at:]), "startxref")
	return trailer[strings.Index(trailer, "trailer\n"):]
}

func (d *reading) object(t testing.TB, pdf []byte, n, offset int) {
	t.Helper()
	if _, newer := d.objects[n]; newer {
		return
	}
	body, ok := bytes.CutPrefix(pdf[offset:], fmt.Appendf(nil, "%d 0 obj", n))
	if !ok {
		t.Fatalf("object %d is not at %d: %.20q", n, offset, pdf[offset:])
	}
	end := bytes.Index(body, []byte("endobj"))
	head, packed, hasStream := bytes.Cut(body, []byte("stream\n"))
	if !hasStream || len(head) > end {
		d.objects[n] = string(body[:end])
		return
	}
	d.objects[n] = string(head)
	size, _ := strconv.Atoi(entry(string(head), "Length"))
	packed = packed[:size]
	if !strings.Contains(string(head), "/FlateDecode") {
		d.streams[n] = packed
		return
	}
	z, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatalf("object %d: %v", n, err)
	}
	if d.streams[n], err = io.ReadAll(z); err != nil {
		t.Fatalf("object %d: %v", n, err)
	}
}

// entry is the number of a dictionary's entry.
func entry(dictionary, name string) string {
	m := regexp.MustCompile(`/` + name + ` (\d+)`).FindStringSubmatch(dictionary)
	if m == nil {
		return ""
	}
	return m[1]
}

// at follows an entry to its object.
func (d *reading) at(dictionary, name string) (int, string) {
	n, _ := strconv.Atoi(entry(dictionary, name))
	return n, d.objects[n]
}

func (d *reading) catalogue() string {
	_, c := d.at(d.trailer, "Root")
	return c
}

// pages are the numbers of the pages' objects.
func (d *reading) pages() []int {
	_, tree := d.at(d.catalogue(), "Pages")
	kids, _, _ := strings.Cut(tree[strings.Index(tree, "/Kids [")+7:], "]")
	var all []int
	for _, m := range reference.FindAllStringSubmatch(kids, -1) {
		n, _ := strconv.Atoi(m[1])
		all = append(all, n)
	}
	return all
}

// content is what is painted on a page.
func (d *reading) content(page int) string {
	n, _ := d.at(d.objects[page], "Contents")
	return string(d.streams[n])
}

var show = regexp.MustCompile(`(?s)BT .*?\(((?:[^()\\]|\\.)*)\) Tj ET`)

// texts are the texts of a content in the order painted. Both fonts are coded
// in the code units of Unicode.
func texts(content string) []string {
	var all []string
	for _, m := range show.FindAllStringSubmatch(content, -1) {
		all = append(all, decode(m[1]))
	}
	return all
}

// decode reads a literal string of UTF-16.
func decode(s string) string {
	var raw []byte
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' {
			i++
			switch s[i] {
			case 'r':
				raw = append(raw, '\r')
				continue
			case 'n':
				raw = append(raw, '\n')
				continue
			}
		}
		raw = append(raw, s[i])
	}
	var units []uint16
	for i := 0; i+1 < len(raw); i += 2 {
		units = append(units, uint16(raw[i])<<8|uint16(raw[i+1]))
	}
	return string(utf16.Decode(units))
}
