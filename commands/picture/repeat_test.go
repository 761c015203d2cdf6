package picture

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestRepeatText(t *testing.T) {
	for _, tt := range []struct {
		numbers []int
		want    string
	}{
		{nil, ""},
		{[]int{7}, "7"},
		{[]int{5, 5}, "5, 5"},
		{[]int{3, 6, 6, 6, 3}, "3, then 3 times 6, then 3"},
		{[]int{2, 4, 5, 4, 5, 4, 5, 2}, "2, then 3 times (4, 5), then 2"},
		{[]int{1, 2, 3, 4}, "1, 2, 3, 4"},
	} {
		if got := repeatText(tt.numbers); got != tt.want {
			t.Errorf("repeatText(%v) = %q, want %q", tt.numbers, got, tt.want)
		}
	}
}

var times = regexp.MustCompile(`^(\d+) times \(?([\d, ]+)\)?$`)

// expand reads the text back as a maker would.
func expand(t *rapid.T, text string) []int {
	var all []int
	for part := range strings.SplitSeq(text, ", then ") {
		n, unit := 1, part
		if m := times.FindStringSubmatch(part); m != nil {
			n, _ = strconv.Atoi(m[1])
			unit = m[2]
		}
		var once []int
		for word := range strings.SplitSeq(unit, ", ") {
			v, err := strconv.Atoi(word)
			if err != nil {
				t.Fatalf("%q in %q: %v", word, text, err)
			}
			once = append(once, v)
		}
		for range n {
			all = append(all, once...)
		}
	}
	return all
}

func TestRepeatTextSaysAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		numbers := rapid.SliceOfN(rapid.IntRange(3, 6), 1, 80).Draw(t, "numbers")
		if got := expand(t, repeatText(numbers)); !slices.Equal(got, numbers) {
			t.Fatalf("%v is written %q, which reads %v", numbers, repeatText(numbers), got)
		}
	})
}
