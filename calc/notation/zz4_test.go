package notation

import (
	"fmt"
	"os"
	"testing"
)

func TestZZT(t *testing.T) {
	f := os.Getenv("ZZ")
	b, _ := os.ReadFile(f)
	s, p := Translate(string(b), TermsUnsaid, UK)
	fmt.Println(s)
	for _, x := range p {
		fmt.Println(x.From.Line, x.From.Column, x.Message)
	}
	u, _ := Translate(s, UK, US)
	if u != string(b) {
		fmt.Println("NOT IDENTITY:\n", u)
	}
}
