package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
)

// The PDF library writes no structure, so a reader's voice would have to guess
// headings, tables and what a figure shows. Marked content is written with the
// pages, and the tree that names it is added in an incremental update, as the
// standard foresees. Source: ISO 32000-1, 7.5.6, 14.7 and 14.8.

// tags numbers the marked content of each page.
type tags struct {
	order   []*element   // all elements in reading order
	content [][]*element // by page and number
}

func newTags(p *pages) *tags {
	return &tags{order: p.elements(), content: make([][]*element, len(p.spans))}
}

// open begins marked content of an element, or of none.
func (t *tags) open(page int, e *element) string {
	if e == nil {
		return "/Artifact BMC"
	}
	n := len(t.content[page])
	t.content[page] = append(t.content[page], e)
	return fmt.Sprintf("/%s <</MCID %d>> BDC", e.role, n)
}

// shut ends marked content.
const shut = "EMC"

// add appends the tree to a document.
func (t *tags) add(pdf []byte) ([]byte, error) {
	u, err := newUpdate(pdf)
	if err != nil {
		return nil, fmt.Errorf("add structure: %w", err)
	}
	root, tree, top := u.size, u.size+1, u.size+2
	number := map[*element]int{}
	for i, e := range t.order {
		number[e] = top + 1 + i
	}
	if err := u.extend(u.root, fmt.Sprintf("/Version /1.7 /MarkInfo <</Marked true>> /StructTreeRoot %d 0 R /ViewerPreferences <</DisplayDocTitle true>> ", root)); err != nil {
		return nil, fmt.Errorf("add structure to the catalogue: %w", err)
	}
	for i, page := range u.pages {
		if err := u.extend(page, fmt.Sprintf(" /StructParents %d /Tabs /S ", i)); err != nil {
			return nil, fmt.Errorf("add structure to page %d: %w", i+1, err)
		}
	}
	u.object(root, fmt.Sprintf("<</Type /StructTreeRoot /K %d 0 R /ParentTree %d 0 R>>", top, tree))
	u.object(tree, "<</Nums ["+t.parents(number)+"]>>")
	kids := t.kids(u.pages, number)
	u.object(top, fmt.Sprintf("<</Type /StructElem /S /%s /P %d 0 R /K [%s]>>", document, root, kids[nil]))
	for _, e := range t.order {
		within := top
		if e.within != nil {
			within = number[e.within]
		}
		extra := ""
		if e.alt != "" {
			extra += " /Alt <" + utf16Hex(e.alt) + ">"
		}
		if e.role == headCell {
			extra += " /A <</O /Table /Scope /Column>>"
		}
		u.object(number[e], fmt.Sprintf("<</Type /StructElem /S /%s /P %d 0 R%s /K [%s]>>", e.role, within, extra, kids[e]))
	}
	return u.finish(), nil
}

// parents lists the elements of each page's marked content.
func (t *tags) parents(number map[*element]int) string {
	var b strings.Builder
	for page, list := range t.content {
		fmt.Fprintf(&b, "%d [", page)
		for _, e := range list {
			fmt.Fprintf(&b, "%d 0 R ", number[e])
		}
		b.WriteString("]\n")
	}
	return b.String()
}

// kids are the entries of each element: elements within it, then its content.
func (t *tags) kids(pages []int, number map[*element]int) map[*element]string {
	kids := map[*element]string{}
	for _, e := range t.order {
		kids[e.within] += fmt.Sprintf("%d 0 R ", number[e])
	}
	for page, list := range t.content {
		for n, e := range list {
			kids[e] += fmt.Sprintf("<</Type /MCR /Pg %d 0 R /MCID %d>> ", pages[page], n)
		}
	}
	return kids
}

func utf16Hex(s string) string {
	var b strings.Builder
	b.WriteString("FEFF")
	for _, u := range utf16.Encode([]rune(clean(s))) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String()
}

// update is an incremental update of a document.
type update struct {
	pdf        []byte
	prev       int // where its cross-references begin
	size       int // one more than its highest object number
	root, info int
	pages      []int       // object numbers of the pages in order
	offsets    map[int]int // of the objects that are new or written anew
}

var (
	trailerEntry = regexp.MustCompile(`/(Size|Root|Info) (\d+)`)
	kidsEntry    = regexp.MustCompile(`/Kids \[([\d R]*)\]`)
	errShape     = errors.New("the document is not as the PDF library writes it")
)

func newUpdate(pdf []byte) (*update, error) {
	u := &update{pdf: pdf, offsets: map[int]int{}}
	at := bytes.LastIndex(pdf, []byte("startxref\n"))
	trailer := bytes.LastIndex(pdf, []byte("trailer\n"))
	if at < 0 || trailer < 0 {
		return nil, errShape
	}
	var err error
	line, _, _ := strings.Cut(string(pdf[at+len("startxref\n"):]), "\n")
	if u.prev, err = strconv.Atoi(line); err != nil {
		return nil, errShape
	}
	for _, m := range trailerEntry.FindAllSubmatch(pdf[trailer:at], -1) {
		n, _ := strconv.Atoi(string(m[2]))
		switch string(m[1]) {
		case "Size":
			u.size = n
		case "Root":
			u.root = n
		case "Info":
			u.info = n
		}
	}
	list, err := u.text(1)
	if err != nil {
		return nil, err
	}
	m := kidsEntry.FindStringSubmatch(list)
	if m == nil {
		return nil, errShape
	}
	for _, kid := range strings.Split(strings.TrimSpace(m[1]), " R") {
		if n, _, ok := strings.Cut(strings.TrimSpace(kid), " "); ok {
			page, _ := strconv.Atoi(n)
			u.pages = append(u.pages, page)
		}
	}
	return u, nil
}

// text is an object of the document between "obj" and "endobj".
func (u *update) text(n int) (string, error) {
	const entry = 20
	head := fmt.Sprintf("xref\n0 %d\n", u.size)
	from := u.prev + len(head) + entry*n
	if from+10 > len(u.pdf) {
		return "", errShape
	}
	offset, err := strconv.Atoi(string(u.pdf[from : from+10]))
	if err != nil || offset >= len(u.pdf) {
		return "", errShape
	}
	begin := fmt.Sprintf("%d 0 obj\n", n)
	body, ok := bytes.CutPrefix(u.pdf[offset:], []byte(begin))
	end := bytes.Index(body, []byte("endobj"))
	if !ok || end < 0 {
		return "", errShape
	}
	return string(body[:end]), nil
}

// extend writes a dictionary anew with more entries.
func (u *update) extend(n int, entries string) error {
	text, err := u.text(n)
	if err != nil {
		return err
	}
	end := strings.LastIndex(text, ">>")
	if end < 0 {
		return errShape
	}
	u.object(n, text[:end]+entries+">>")
	return nil
}

func (u *update) object(n int, body string) {
	u.offsets[n] = len(u.pdf)
	u.pdf = append(u.pdf, fmt.Sprintf("%d 0 obj\n%s\nendobj\n", n, body)...)
}

// finish writes the cross-references of the update.
func (u *update) finish() []byte {
	var numbers []int
	for n := range u.offsets {
		numbers = append(numbers, n)
	}
	slices.Sort(numbers)
	begin := len(u.pdf)
	var b strings.Builder
	b.WriteString("xref\n")
	for i := 0; i < len(numbers); {
		n := i + 1
		for n < len(numbers) && numbers[n] == numbers[n-1]+1 {
			n++
		}
		fmt.Fprintf(&b, "%d %d\n", numbers[i], n-i)
		for _, number := range numbers[i:n] {
			fmt.Fprintf(&b, "%010d 00000 n \n", u.offsets[number])
		}
		i = n
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d /Root %d 0 R /Info %d 0 R /Prev %d>>\nstartxref\n%d\n%%%%EOF\n", max(u.size, numbers[len(numbers)-1]+1), u.root, u.info, u.prev, begin)
	return append(u.pdf, b.String()...)
}
