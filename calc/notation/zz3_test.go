package notation

import (
	"fmt"
	"os"
	"testing"
)

func TestZZP(t *testing.T) {
	f := os.Getenv("ZZ")
	b, _ := os.ReadFile(f)
	d := Parse(string(b), Options{})
	fmt.Println(Print(d, PrintOptions{Terms: d.Terms, Style: StyleOf(string(b))}))
}
