package pattern

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// The file as it is written. Words become values in read.go.
type (
	file struct {
		Title, Summary, Author, Licence, Level  string
		For, Cautions, Notes, Tables, Finishing []string
		Small                                   []string `toml:"cautions_small"`
		Ease                                    string
		Yarn                                    Yarn
		Gauge                                   fileGauge
		Ask                                     []fileAsk
		Change                                  []fileChange
		Measure                                 []fileMeasure
		Piece                                   []filePiece
		Join                                    []fileJoin
		Finished                                []fileFinished
	}
	fileGauge struct {
		Stitch               string
		Stitches, Rows, Hook float64
	}
	fileAsk    struct{ Name, Default, Low, High string }
	fileChange struct {
		Name, Measure, Is string
		Part              float64
	}
	fileMeasure struct{ Name, Is, Else string }
	fileJoin    struct {
		Name, How string
		A, B      []string
	}
	fileFinished struct {
		Name, Is string
		Of       []string
	}
	filePiece struct {
		Name, Mirror string
		Make         int
		Section      []fileSection
		Split        []fileSplit
	}
	fileSplit struct {
		Of    string
		Into  []string
		Width map[string]string
	}
	fileSection struct {
		Name, Note, Stitch, Loop, Worked, First, Of             string
		Repeat, Pick                                            []string
		Start, End, Length, Plain, Shape, On, Opening, Underarm string
		Rows, Least                                             int
		Multiple                                                []int
		Keep                                                    bool
		RowMultiple                                             []int `toml:"row_multiple"`
		Buttonholes                                             *fileHoles
		Panels                                                  *filePanels
	}
	filePanels struct {
		BodyStart   string `toml:"body_start"`
		BodyEnd     string `toml:"body_end"`
		SleeveStart string `toml:"sleeve_start"`
		SleeveEnd   string `toml:"sleeve_end"`
	}
	fileHoles struct {
		Number, Diameter string
		Along            int
	}
)

// FileError says what is wrong with a pattern file and where.
type FileError struct {
	File  string
	Line  int    // from 1; 0: the file as a whole
	Where string // "piece Back, section Hem"; empty: the head of the file
	Err   error
}

func (e *FileError) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ", line %d", e.Line)
	}
	if e.Where != "" {
		b.WriteString(", " + e.Where)
	}
	return b.String() + ": " + e.Err.Error()
}

func (e *FileError) Unwrap() error { return e.Err }

// decode reads the TOML of a pattern file.
func decode(name string, data []byte) (*file, error) {
	var f file
	err := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields().Decode(&f)
	if err == nil {
		return &f, nil
	}
	var strict *toml.StrictMissingError
	var wrong *toml.DecodeError
	switch {
	case errors.As(err, &strict) && len(strict.Errors) > 0:
		wrong = &strict.Errors[0]
		line, _ := wrong.Position()
		return nil, &FileError{File: name, Line: line, Err: fmt.Errorf("%q is no key that a pattern file has here", strings.Join(wrong.Key(), "."))}
	case errors.As(err, &wrong):
		line, _ := wrong.Position()
		text := wrong.Error()
		if key := strings.Join(wrong.Key(), "."); key != "" {
			text = fmt.Sprintf("%q can't be read: %s", key, plainWords(text))
		}
		return nil, &FileError{File: name, Line: line, Err: errors.New(text)}
	}
	return nil, &FileError{File: name, Err: err}
}

// plainWords takes the decoder's talk of program types out of a message.
func plainWords(text string) string {
	text = strings.TrimPrefix(text, "toml: ")
	if i := strings.Index(text, " into "); i >= 0 {
		text = text[:i]
	}
	return text
}

// places finds the line of each key: "piece[0].section[2].length" → 41. Where
// the file can't be read it stops.
func places(data []byte) map[string]int {
	lines := map[string]int{}
	counts := map[string]int{} // of each array of tables
	var p unstable.Parser
	p.Reset(data)
	prefix := ""
	line, last := 1, 0
	lineOf := func(n *unstable.Node) int {
		for c := n; c != nil; c = c.Child() {
			if c.Raw.Length > 0 {
				at := int(c.Raw.Offset)
				if at >= last {
					line += bytes.Count(data[last:at], []byte{'\n'})
					last = at
				}
				return line
			}
			if c.Child() == nil {
				break
			}
		}
		return line
	}
	for p.NextExpression() {
		n := p.Expression()
		var keys []string
		first := 0
		for it := n.Key(); it.Next(); {
			if first == 0 {
				first = lineOf(it.Node())
			}
			keys = append(keys, string(it.Node().Data))
		}
		switch n.Kind {
		case unstable.Table:
			prefix = resolve(keys, counts, false) + "."
			lines[strings.TrimSuffix(prefix, ".")] = first
		case unstable.ArrayTable:
			prefix = resolve(keys, counts, true) + "."
			lines[strings.TrimSuffix(prefix, ".")] = first
		case unstable.KeyValue:
			lines[prefix+strings.Join(keys, ".")] = first
		}
	}
	return lines
}

// resolve gives each array of tables on the way the index of its last element;
// with another, the last one gets a new element.
func resolve(keys []string, counts map[string]int, another bool) string {
	path := ""
	for i, k := range keys {
		if i > 0 {
			path += "."
		}
		path += k
		if another && i == len(keys)-1 {
			counts[path]++
		}
		if n := counts[path]; n > 0 {
			if another && i == len(keys)-1 {
				for deeper := range counts {
					if strings.HasPrefix(deeper, fmt.Sprintf("%s[%d].", path, n-1)) {
						delete(counts, deeper)
					}
				}
			}
			path = fmt.Sprintf("%s[%d]", path, n-1)
		}
	}
	return path
}
