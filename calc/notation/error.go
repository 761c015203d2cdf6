package notation

import "fmt"

// The messages of problems. They are promised by tests: a place is never part
// of them, it is in the Problem's span.

func unknownStitch(word string) string { return fmt.Sprintf("I don't know the stitch %q", word) }

func unreadable(words string) string { return fmt.Sprintf("I can't read %q", shorten(words)) }

func noPlace(words string) string { return fmt.Sprintf("the place is missing after %q", words) }

const emptyRow = "nothing is told of this row"

func unclosed(open string, column int) string {
	return fmt.Sprintf("expected %q to close the %q at column %d", closing(open), open, column)
}

func unopened(mark string) string { return fmt.Sprintf("%q closes nothing", mark) }

func noStar(mark string) string {
	return fmt.Sprintf("the repeat goes back to %s, and there is no %s before it", mark, mark)
}

func openStar(mark string) string {
	return fmt.Sprintf("nothing says how often to repeat from this %s", mark)
}

func tooMany(n, limit int) string {
	if n >= numberCap {
		return fmt.Sprintf("this number is more than the %d that is read", limit)
	}
	return fmt.Sprintf("%d is more than the %d that is read", n, limit)
}

func tooDeep(limit int) string { return fmt.Sprintf("brackets nest deeper than %d", limit) }

func tooLong(bytes, limit int) string {
	return fmt.Sprintf("the text has %d bytes; what is beyond the first %d is not read", bytes, limit)
}

// shorten cuts words for a message.
func shorten(words string) string {
	const most = 60
	n := 0
	for i := range words {
		if n == most {
			return words[:i] + "…"
		}
		n++
	}
	return words
}
