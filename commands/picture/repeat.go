package picture

import (
	"fmt"
	"strconv"
	"strings"
)

// longestRepeat is the longest sequence that is looked for as a repeat.
const longestRepeat = 8

// repeatText writes numbers with what repeats drawn together: "3, then 12
// times 6, then 3", "2, then 5 times (4, 5), then 2".
func repeatText(numbers []int) string {
	var parts []string
	var plain []string
	flush := func() {
		if len(plain) > 0 {
			parts = append(parts, strings.Join(plain, ", "))
			plain = nil
		}
	}
	for i := 0; i < len(numbers); {
		length, times := bestRepeat(numbers[i:])
		if times < 3 { // two of a kind are shorter written out
			plain = append(plain, strconv.Itoa(numbers[i]))
			i++
			continue
		}
		flush()
		once := make([]string, length)
		for j := range once {
			once[j] = strconv.Itoa(numbers[i+j])
		}
		unit := strings.Join(once, ", ")
		if length > 1 {
			unit = "(" + unit + ")"
		}
		parts = append(parts, fmt.Sprintf("%d times %s", times, unit))
		i += length * times
	}
	flush()
	return strings.Join(parts, ", then ")
}

// bestRepeat is the repeat at the start that covers most numbers, the shorter
// one where two cover as many.
func bestRepeat(numbers []int) (length, times int) {
	length, times = 1, 1
	for l := 1; l <= longestRepeat && 2*l <= len(numbers); l++ {
		n := 1
		for (n+1)*l <= len(numbers) && sameNumbers(numbers[:l], numbers[n*l:(n+1)*l]) {
			n++
		}
		if n > 1 && (n-1)*l > (times-1)*length {
			length, times = l, n
		}
	}
	return length, times
}

func sameNumbers(a, b []int) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}
