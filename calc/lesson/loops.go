package lesson

import (
	"fmt"
	"strconv"
	"strings"
)

// Loops returns how many loops are on the hook after it did what the signs
// say, beginning with so many:
//
//	yo    wrap the yarn: one more
//	in    put the hook in: no change
//	up    pull up a loop: one more
//	t2    wrap the yarn and pull it through two loops: one is left of them
//	all   wrap the yarn and pull it through all loops: one is left
//	pick  take a loop onto the hook: one more
//	off   let a loop off, or pull another through it: one less
//	say   nothing that changes the loops
//
// A sign that it does not know, and a pull through more loops than there are,
// is an error.
func Loops(on int, signs string) (int, error) {
	for _, sign := range strings.Fields(signs) {
		switch {
		case sign == "yo", sign == "up", sign == "pick":
			on++
		case sign == "in", sign == "say":
		case sign == "all" && on > 0:
			on = 1
		case sign == "off" && on > 0:
			on--
		case sign[0] == 't':
			n, err := strconv.Atoi(sign[1:])
			if err != nil || n < 1 {
				return 0, fmt.Errorf("hook: %q should be t and a number", sign)
			}
			if n > on {
				return 0, fmt.Errorf("hook: %q, but only %d loops are on the hook", sign, on)
			}
			on -= n - 1
		case sign == "all", sign == "off":
			return 0, fmt.Errorf("hook: %q, but no loop is on the hook", sign)
		default:
			return 0, fmt.Errorf("hook: %q is none of yo, in, up, t2, all, pick, off, say", sign)
		}
	}
	return on, nil
}
