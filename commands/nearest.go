package commands

import "strings"

// nearest returns the candidate closest to what was typed, or "" where none is
// near: at most a third of its letters wrong.
func nearest(typed string, candidates []string) string {
	best, least := "", len(typed)/3+1
	for _, c := range candidates {
		if strings.HasPrefix(c, typed) {
			return c
		}
		if d := distance(typed, c); d < least {
			best, least = c, d
		}
	}
	return best
}

// distance counts the letters to add, drop, change or swap.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	var before, last []int
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(x); i++ {
		before, last, row = last, row, make([]int, len(y)+1)
		row[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
	}
	return row[len(y)]
}
