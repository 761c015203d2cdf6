package sheet

import (
	"fmt"
	"slices"

	"countwright/commands/picture"
)

// flow fills pages from the top down.
type flow struct {
	frame
	pages     [][]span // of each page, in reading order
	bookmarks []bookmark
	y         float64 // where the next block begins
}

func newFlow(f frame) *flow { return &flow{frame: f, pages: make([][]span, 1), y: f.top} }

func (f *flow) turn() {
	f.pages = append(f.pages, nil)
	f.y = f.top
}

// put sets blocks one below the other. Blocks that belong together go on one
// page where they fit on one.
func (f *flow) put(list ...block) {
	for i := 0; i < len(list); {
		n := i + 1
		for n < len(list) && list[n-1].keep {
			n++
		}
		together := list[i:n]
		if f.y > f.top && f.y+tall(together) > f.bottom {
			f.turn()
		}
		for _, b := range together {
			f.place(b)
		}
		i = n
	}
}

// place sets one block. One that is taller than what is left of the page, and
// than any page, is broken between its strips.
func (f *flow) place(b block) {
	if f.y > f.top {
		f.y += b.before
		if f.y+b.height() > f.bottom && b.height() <= f.bottom-f.top {
			f.turn()
		}
	}
	if b.mark != nil {
		m := *b.mark
		m.page, m.y = len(f.pages), f.y
		f.bookmarks = append(f.bookmarks, m)
	}
	for _, s := range b.strips {
		if f.y+s.height > f.bottom && f.y > f.top {
			f.turn()
		}
		f.add(s, f.y)
		f.y += s.height
	}
}

// add puts a strip at a height of the last page.
func (f *flow) add(s strip, y float64) {
	page := &f.pages[len(f.pages)-1]
	for _, sp := range s.spans {
		marks := make([]picture.Mark, len(sp.marks))
		for i, m := range sp.marks {
			marks[i] = moved(m, 0, y, 1)
		}
		*page = append(*page, span{sp.of, marks})
	}
}

// section makes its blocks for a column.
type section func(x, width float64) []block

// beside sets a figure at the right and sections in the column on its left:
// those that begin above the figure's foot and end on the page. It returns the
// sections that are left.
func (f *flow) beside(fig block, width float64, sections []section) []section {
	const gap = 7.0
	column := f.room() - width - gap
	top, lowest := f.y, f.y+fig.height()
	done := 0
	for _, s := range sections {
		list := s(f.left, column)
		if f.y >= lowest || f.y+tall(list) > f.bottom {
			break
		}
		f.put(list...)
		done++
	}
	end := max(f.y, lowest)
	f.y = top
	f.place(fig)
	f.y = end
	return sections[done:]
}

// finish returns the pages, or an error where there are too many.
func (f *flow) finish() (*pages, error) {
	if len(f.pages) > mostPages {
		return nil, fmt.Errorf("it would take %d pages; %d are allowed", len(f.pages), mostPages)
	}
	return &pages{spans: f.pages, bookmarks: f.bookmarks}, nil
}

// pages is a document laid out, ready to be painted.
type pages struct {
	spans     [][]span
	bookmarks []bookmark
}

// elements are the parts of the structure in reading order.
func (p *pages) elements() []*element {
	var all []*element
	seen := map[*element]bool{}
	for _, page := range p.spans {
		for _, s := range page {
			var path []*element
			for e := s.of; e != nil && !seen[e]; e = e.within {
				seen[e] = true
				path = append(path, e)
			}
			slices.Reverse(path)
			all = append(all, path...)
		}
	}
	return all
}
