package fabric

import (
	"fmt"
	"strings"
	"testing"

	"countwright/calc/notation"
)

// garment is a text of 200 rows of 200 stitches, with shaping: 40,000
// stitches.
func garment() string {
	var b strings.Builder
	b.WriteString("Back\nCh 201.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (200 sts)\n")
	n := 200
	for r := 2; r <= 200; r++ {
		switch {
		case r%10 == 0 && r%20 != 0:
			n -= 2
			fmt.Fprintf(&b, "Row %d: Ch 1, sc2tog, sc in each st to last 2 sts, sc2tog, turn. (%d sts)\n", r, n)
		case r%20 == 0:
			n += 2
			fmt.Fprintf(&b, "Row %d: Ch 1, 2 sc in first st, sc in each st to last st, 2 sc in last st, turn. (%d sts)\n", r, n)
		case r%2 == 0:
			fmt.Fprintf(&b, "Row %d: Ch 1, *sc in next st, hdc in next st; rep from * across, turn. (%d sts)\n", r, n)
		default:
			fmt.Fprintf(&b, "Row %d: Ch 1, sc in each st across, turn. (%d sts)\n", r, n)
		}
	}
	return b.String()
}

// paste is 16 KB of written rows with a mistake in every eleventh row.
func paste() string {
	var b strings.Builder
	b.WriteString("Ch 101.\nRow 1: Sc in 2nd ch from hook and in each ch across, turn. (100 sts)\n")
	for r := 2; b.Len() < 16<<10; r++ {
		said := 100
		if r%11 == 0 {
			said = 101
		}
		fmt.Fprintf(&b, "Row %d: Ch 1, sc in next st, *ch 1, sk 1 st, sc in next st; rep from * to last st, sc in last st, turn. (%d sts)\n", r, said)
	}
	return b.String()
}

func BenchmarkParseAndWork40000Stitches(b *testing.B) {
	text := garment()
	b.ReportAllocs()
	for b.Loop() {
		res := Work(notation.Parse(text, notation.Options{}), Options{})
		if !res.OK() {
			b.Fatal(res.Findings)
		}
	}
}

func BenchmarkWork40000Stitches(b *testing.B) {
	doc := notation.Parse(garment(), notation.Options{})
	b.ReportAllocs()
	for b.Loop() {
		Work(doc, Options{})
	}
}

func BenchmarkPaste16KBWithMistakes(b *testing.B) {
	doc := notation.Parse(paste(), notation.Options{})
	b.ReportAllocs()
	for b.Loop() {
		Work(doc, Options{})
	}
}

// hostile are texts that ask for as much work as they can.
func hostile() map[string]string {
	rep := func(s string, n int) string { return strings.Repeat(s, n) }
	var rows strings.Builder
	rows.WriteString("Ch 9999.\n")
	for r := 1; rows.Len() < 16<<10; r++ {
		fmt.Fprintf(&rows, "Row %d: *sc in next %d sts, 2 sc in next st, ch 1; rep from * across (9).\n", r, r%7+1)
	}
	return map[string]string{
		"nested repeats":    "Ch 9999.\nRow 1: " + rep("[", 10) + "sc in next st, ch 1" + rep("] 9999 times", 10) + ".\n",
		"thousands of rows": "Ch 9999.\nRow 1: *sc in next st, ch 1, dc in next st; rep from * across.\nRow 2: *sc in next 2 sts, 2 sc in next st; rep from * across.\nRows 3-9999: Rep Rows 1 and 2.\n",
		"growing rows":      "Rnd 1: 6 sc in ring.\nRnd 2: 2 sc in each st around.\nRnds 3-9999: Rep Rnd 2.\n",
		"mistakes":          rows.String(),
		"one long row":      "Ch 9999.\nRow 1: " + rep("sc in next st, ch 1, sk 1, ", 600) + "turn. (5)\n",
		"brackets":          "Ch 99.\nRow 1: " + rep("(", 4000) + "sc" + rep(")", 4000) + "\n",
		"repeated places":   rep("Rnd 3: *(sc, [2 dc, (hdc, ch 2) 5 times] 7 times) in next st; rep from * around. (99)\n", 190),
		"steps and spaces":  "Ch 9999.\nRow 1: *dc in next ch, ch 1; rep from * across.\nRow 2: " + rep("dc in each st across, sc in next ch-2 sp, ", 300) + ".\n",
	}
}

func BenchmarkHostile16KB(b *testing.B) {
	for name, text := range hostile() {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Work(notation.Parse(text, notation.Options{}), Options{})
			}
		})
	}
}
