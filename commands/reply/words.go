package reply

import (
	"fmt"
	"strings"
	"unicode"

	"github.com/mattn/go-runewidth"
)

// columns measures text as a terminal shows it, whatever the locale: the same
// reply is the same text everywhere.
var columns = &runewidth.Condition{StrictEmojiNeutral: true}

func width(s string) int { return columns.StringWidth(s) }

// Visible makes what could steer a terminal or turn the direction of writing
// visible instead: \x1b for an escape, \u202e for a right-to-left override.
// Line breaks stay, tabs become a space.
func Visible(s string) string {
	clean := true
	for _, r := range s {
		if r != '\n' && (steering(r) || r == '\t') {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	var b strings.Builder
	s = strings.ReplaceAll(s, "\r\n", "\n")
	for _, r := range s {
		switch {
		case r == '\t':
			b.WriteByte(' ')
		case r == '\n' || !steering(r):
			b.WriteRune(r)
		case r < 0x100:
			fmt.Fprintf(&b, `\x%02x`, r)
		case r > 0xFFFF:
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}

// steering reports what must not reach a terminal: control characters, bidi
// controls, line and paragraph separators, tag characters and the bytes of
// broken text.
func steering(r rune) bool {
	return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == unicode.ReplacementChar ||
		r == '\u2028' || r == '\u2029' || r == '\uFEFF' || r == '\u200B' || r >= 0xE0000 && r <= 0xE007F
}

// oneLine is Visible for a place that holds a single line.
func oneLine(s string) string {
	return strings.Join(strings.Fields(Visible(s)), " ")
}

// wrap breaks a paragraph into lines at most w columns wide; its own line
// breaks stay. A word that is longer than a line is cut.
func wrap(s string, w int) []string {
	var lines []string
	for paragraph := range strings.SplitSeq(Visible(s), "\n") {
		line, used := "", 0
		for _, word := range strings.Fields(paragraph) {
			n := width(word)
			if used > 0 && used+1+n <= w {
				line, used = line+" "+word, used+1+n
				continue
			}
			if used > 0 {
				lines = append(lines, line)
			}
			for n > w {
				head := columns.Truncate(word, w, "")
				if head == "" { // a wide character in a column of one
					break
				}
				lines = append(lines, head)
				word = word[len(head):]
				n = width(word)
			}
			line, used = word, n
		}
		lines = append(lines, line)
	}
	return lines
}

// fill sets a text to n columns, with the spaces before it where right.
func fill(s string, n int, right bool) string {
	space := strings.Repeat(" ", max(0, n-width(s)))
	if right {
		return space + s
	}
	return s + space
}
