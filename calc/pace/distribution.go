package pace

import "math"

// radical is the i-th point of van der Corput's sequence in a base: points that
// fill the unit interval evenly and, in several bases, the unit cube. Source:
// J. H. Halton, On the efficiency of certain quasi-random sequences of points,
// Numerische Mathematik 2, 1960 (from memory). It is never 0 or 1.
func radical(i, base int) float64 {
	i++
	x, step := 0., 1.
	for ; i > 0; i /= base {
		step /= float64(base)
		x += step * float64(i%base)
	}
	return x
}

// normal is the quantile of the standard normal distribution.
func normal(u float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*u) }

// student is the quantile of Student's t distribution for 3 or more degrees of
// freedom, by the expansion about the normal one. It is right to 3 % of itself
// between the 2nd and the 98th percentile. Source: Abramowitz and Stegun,
// Handbook of Mathematical Functions, 26.7.5 (from memory).
func student(u, freedom float64) float64 {
	z := normal(u)
	z2 := z * z
	g1 := z * (z2 + 1) / 4
	g2 := z * ((5*z2+16)*z2 + 3) / 96
	g3 := z * (((3*z2+19)*z2+17)*z2 - 15) / 384
	return z + (g1+(g2+g3/freedom)/freedom)/freedom
}

// pauses is the quantile of how many pauses fall into so many days, where seen
// ones fell into so many days before: Poisson, its rate known from those by
// Gamma, which together is the negative binomial distribution.
func pauses(u, seen, days, ahead float64) int {
	stay := days / (days + ahead)
	p := math.Pow(stay, seen)
	sum := p
	n := 0
	for sum < u && n < 1000 {
		p *= (seen + float64(n)) / float64(n+1) * (1 - stay)
		n++
		sum += p
	}
	return n
}
