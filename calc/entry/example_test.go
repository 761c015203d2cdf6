package entry_test

import (
	"fmt"
	"testing/fstest"

	"countwright/calc/entry"
)

func ExampleDecode() {
	var file struct{ Hook []struct{ MM float64 } }
	err := entry.Decode("hooks.toml", []byte("[[hook]]\nmm = 4.5\n"), &file)
	fmt.Println(file.Hook[0].MM, err)
	// Output: 4.5 <nil>
}

func ExampleEach() {
	folder := fstest.MapFS{"a.toml": {Data: []byte("word = \"row\"")}, "b.toml": {Data: []byte("word = \"round\"")}}
	err := entry.Each(folder, []string{"a.toml", "b.toml"}, func(file string, content struct{ Word string }) {
		fmt.Println(file, content.Word)
	})
	fmt.Println(err)
	// Output:
	// a.toml row
	// b.toml round
	// <nil>
}

func ExampleFaults() {
	f := entry.Faults{File: "hooks.toml", Entry: "G-6"}
	f.Need(4.0 > 3.75, "it is thinner than the hook before")
	f.Need(4.0 > 5, "it is thinner than the hook before")
	fmt.Println(f.Err())
	// Output: hooks.toml: entry "G-6": it is thinner than the hook before
}
