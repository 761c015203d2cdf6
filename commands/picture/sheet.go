package picture

import "strings"

// sheet is a drawing that is filled from the top down: a title, pictures,
// lines of text. Its height follows from what is on it.
type sheet struct {
	*Drawing
	y float64 // where the next thing begins
}

func newSheet(title, description string) *sheet { return wideSheet(sheetWidth, title, description) }

func wideSheet(width float64, title, description string) *sheet {
	s := &sheet{Drawing: &Drawing{Width: width, Title: title, Description: description}, y: margin}
	if title != "" {
		s.words(title, titleSize, true, Ink)
		s.y += 1.5
	}
	return s
}

// words sets a paragraph over the whole width of the sheet.
func (s *sheet) words(text string, size float64, isBold bool, c Colour) {
	for _, line := range wrapText(text, size, isBold, s.Width-2*margin) {
		s.y += lineHeight(size)
		s.Add(Text{At: Point{margin, s.y - descent*size}, Text: line, Size: size, Bold: isBold, Colour: c})
	}
}

// finish closes the sheet under what is on it.
func (s *sheet) finish() *Drawing {
	s.Height = s.y + margin
	s.frame()
	return s.Drawing
}

func lineHeight(size float64) float64 { return 1.3 * size }

// wrapText breaks a text into lines of at most a width. A word that is wider
// is cut.
func wrapText(text string, size float64, isBold bool, width float64) []string {
	fits := func(s string) bool { return TextWidth(s, size, isBold) <= width }
	var lines []string
	line := ""
	for _, word := range strings.Fields(cleanLine(text)) {
		if line != "" && fits(line+" "+word) {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for !fits(word) {
			head := ""
			for _, r := range word {
				if head != "" && !fits(head+string(r)) {
					break
				}
				head += string(r)
			}
			if len(head) == len(word) {
				break
			}
			lines = append(lines, head)
			word = word[len(head):]
		}
		line = word
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
