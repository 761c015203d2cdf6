package grade

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

// TestRoundAgreesWithOutsideSolver puts random garments to cbc, the mixed
// integer solver of the COIN-OR project (Debian package coinor-cbc): the same
// optimum, or impossible for both. Least squares over whole numbers goes into
// a linear program exactly, as unit segments with rising costs.
func TestRoundAgreesWithOutsideSolver(t *testing.T) {
	cbc, err := exec.LookPath("cbc")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("cbc is not installed, and CI may not go without it: apt-get install coinor-cbc")
		}
		t.Skip("NOT CHECKED against the outside solver: cbc is not installed (Debian: coinor-cbc)")
	}
	const instances = 40
	deadline := 20 * time.Second
	solved, impossible, late := 0, 0, 0
	for i := range instances {
		r := rand.New(rand.NewPCG(11, uint64(i)))
		p := garments(r, 1+i%8, 12)
		p.Goals = nil // a length over several counts is no unit segment: brute force checks those
		if i%4 == 3 { // an odd back, an even neck and two shoulders can't meet
			last := len(p.Counts) - 10
			p.Counts[last].Of, p.Counts[last].Plus = 2, 1
			p.Counts[last+1].Of, p.Counts[last+1].Plus = 2, i%8/4
		}
		value, err := p.Round()
		var clash *ClashError
		if err != nil && !errors.As(err, &clash) {
			t.Fatal(err)
		}
		best, answer := runCBC(t, cbc, p, deadline)
		switch {
		case answer == "late":
			late++
		case answer == "impossible" && err != nil:
			impossible++
		case answer == "impossible":
			t.Errorf("instance %d: cbc says impossible, found %v", i, value)
		case err != nil:
			t.Errorf("instance %d: cbc finds %g, we say %v", i, best, err)
		case math.Abs(p.Cost(value)-best) > 1e-3*(1+best):
			t.Errorf("instance %d: cost %g, cbc %g", i, p.Cost(value), best)
		default:
			solved++
		}
	}
	t.Logf("%d instances of 10 to 80 counts: %d same optimum, %d impossible for both, %d not finished by cbc", instances, solved, impossible, late)
	if solved < instances/4 || impossible < 3 {
		t.Errorf("only %d solvable and %d impossible instances were compared", solved, impossible)
	}
}

func runCBC(t *testing.T, cbc string, p Rounding, deadline time.Duration) (cost float64, answer string) {
	t.Helper()
	dir := t.TempDir()
	file, out := filepath.Join(dir, "p.lp"), filepath.Join(dir, "p.sol")
	text, constant := linearProgram(p)
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(context.Background(), deadline)
	defer cancel()
	log, err := exec.CommandContext(ctx, cbc, file, "ratioGap", "0", "allowableGap", "0", "solve", "solu", out).CombinedOutput()
	if ctx.Err() != nil {
		return 0, "late"
	}
	if err != nil {
		t.Fatalf("run cbc: %v\n%s", err, log)
	}
	solution, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	head, _, _ := strings.Cut(string(solution), "\n")
	if strings.Contains(strings.ToLower(head), "infeasible") {
		return 0, "impossible"
	}
	_, figure, found := strings.Cut(head, "objective value")
	value, err := strconv.ParseFloat(strings.TrimSpace(figure), 64)
	if !found || err != nil || !strings.HasPrefix(head, "Optimal") {
		t.Fatalf("cbc answers %q", head)
	}
	return value + constant, ""
}

// linearProgram writes the rounding in the LP format; the constant is what the
// least numbers cost.
func linearProgram(p Rounding) (text string, constant float64) {
	var cost, rules, bounds, whole strings.Builder
	for i, c := range p.Counts {
		at := func(v int) float64 { return c.Weight * math.Pow((float64(v)-c.Target)*c.MM, 2) }
		constant += at(c.Min)
		fmt.Fprintf(&rules, " d%d: x%d", i, i)
		for v := c.Min; v < c.Max; v++ {
			fmt.Fprintf(&cost, " %+.12f s%d_%d\n", at(v+1)-at(v), i, v-c.Min)
			fmt.Fprintf(&rules, " - s%d_%d\n", i, v-c.Min)
			fmt.Fprintf(&bounds, " 0 <= s%d_%d <= 1\n", i, v-c.Min)
		}
		fmt.Fprintf(&rules, " = %d\n", c.Min)
		fmt.Fprintf(&bounds, " %d <= x%d <= %d\n", c.Min, i, c.Max)
		fmt.Fprintf(&whole, " x%d", i)
		if c.Of > 1 {
			fmt.Fprintf(&rules, " m%d: x%d - %d k%d = %d\n", i, i, c.Of, i, c.Plus)
			fmt.Fprintf(&bounds, " -1000 <= k%d <= 1000\n", i)
			fmt.Fprintf(&whole, " k%d", i)
		}
	}
	for i, r := range p.Rules {
		fmt.Fprintf(&rules, " r%d:", i)
		for _, t := range r.Terms {
			fmt.Fprintf(&rules, " %+d x%d", t.Times, t.Count)
		}
		sign := "="
		if r.AtMost {
			sign = "<="
		}
		fmt.Fprintf(&rules, " %s %d\n", sign, r.Value)
	}
	return "Minimize\n" + cost.String() + "Subject To\n" + rules.String() + "Bounds\n" + bounds.String() + "Generals\n" + whole.String() + "\nEnd\n", constant
}

func BenchmarkRoundWorstOf10000(b *testing.B) {
	r := rand.New(rand.NewPCG(5, 6))
	for b.Loop() {
		worst := time.Duration(0)
		for range 10_000 {
			p := garments(r, 8, 60)
			start := time.Now()
			_, _ = p.round(false)
			worst = max(worst, time.Since(start))
		}
		b.ReportMetric(float64(worst.Microseconds())/1000, "worst-ms")
	}
}
