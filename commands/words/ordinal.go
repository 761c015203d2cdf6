package words

import "strconv"

// Ordinal is a row's or a round's place in an order. As a value of a text it is
// said in the printer's language: "3rd", "3.", "3e", "3.ª".
type Ordinal int

// Ordinal says a place in an order.
func (p Printer) Ordinal(n Ordinal) string {
	digits := strconv.Itoa(int(n))
	switch p.Language().Code {
	case "de":
		return digits + "."
	case "nl":
		return digits + "e"
	case "es-ES", "es-419":
		return digits + ".ª"
	}
	return digits + suffix(int(n))
}

func suffix(n int) string {
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			return "st"
		case 2:
			return "nd"
		case 3:
			return "rd"
		}
	}
	return "th"
}
