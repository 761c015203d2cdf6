package sizing

import (
	"fmt"

	"countwright/calc/measure"
)

func ExampleTable_Complete() {
	women, _ := Named("women")
	c, _ := women.Complete(Body{Chest: 112 * measure.Centimetre})
	fmt.Println(c.Between, c.Body[UpperArm], c.Body[ArmholeDepth], len(c.Assumed), "assumed")
	// Output: [L 1X] 33.6 cm 20.7 cm 15 assumed
}

func ExampleTable_Of() {
	men, _ := Named("men")
	c, _ := men.Of("L", nil)
	fmt.Println(c.Body[Chest].Text(measure.Inches), c.Body[ArmLength].Text(measure.Inches))
	// Output: 43 in 19 1/2 in
}

func ExampleTable_Size() {
	baby, _ := Named("baby")
	s, _ := baby.Size("6 mo")
	fmt.Println(s.Name, s.Ranges[Chest].Text(measure.Centimetres))
	// Output: 6 months 43 cm
}

func ExampleFind() {
	fits, _ := Find(Body{Chest: 79 * measure.Centimetre, UpperArm: 28 * measure.Centimetre})
	for _, f := range fits[:6] {
		fmt.Println(f.Table.Name, f.Size.Name, f.Off.Signed(measure.Centimetres))
	}
	// Output:
	// EN woman 80 0 cm
	// EN letter woman XS 0 cm
	// EN letter man XS 0 cm
	// ASTM woman 00 -0.1 cm
	// child 14 -1 cm
	// woman S -2 cm
}

func ExampleNamed() {
	_, err := Named("dragon")
	fmt.Println(err)
	// Output: no table is called "dragon"; there are baby, child, woman, man, head, EN woman, EN letter woman, EN man, EN letter man, ASTM woman, craft head
}

func ExampleSizesNamed() {
	sizes, _ := SizesNamed("XL")
	for _, s := range sizes {
		fmt.Println(s.Table.Name, s.Size.Name)
	}
	// Output:
	// woman 1X
	// man XL
}

func ExampleEaseNamed() {
	e, _ := EaseNamed("classic")
	fmt.Println(e.Low.Signed(measure.Centimetres), "to", e.High.Signed(measure.Centimetres))
	// Output: +5 cm to +10 cm
}

func ExampleEaseOf() {
	fmt.Println(EaseOf(-7 * measure.Centimetre).Name)
	// Output: very close
}

func ExampleBlanketNamed() {
	b, _ := BlanketNamed("throw")
	fmt.Println(b.Width, b.Length)
	// Output: 130 cm 150 cm
}

func ExampleTables() {
	for _, t := range Tables() {
		if t.Main {
			fmt.Println(t.Name, len(t.Sizes), "sizes by the", t.Key)
		}
	}
	// Output:
	// baby 5 sizes by the chest
	// child 8 sizes by the chest
	// woman 9 sizes by the chest
	// man 5 sizes by the chest
	// head 11 sizes by the head
}

func ExampleMeasures() {
	fmt.Println(Measures()[:4])
	// Output: [chest waist hips cross back]
}

func ExampleMeasure_How() {
	fmt.Println(CrossBack.How())
	// Output: from shoulder bone to shoulder bone across the back
}

func ExampleEases() {
	for _, e := range Eases()[:2] {
		fmt.Println(e.Name, e.Usual().Signed(measure.Centimetres))
	}
	// Output:
	// very close -7.5 cm
	// close 0 cm
}

func ExampleBlankets() {
	for _, b := range Blankets()[:2] {
		fmt.Println(b.Name, b.Width, b.Length, b.Infant)
	}
	// Output:
	// lovey 30 cm 30 cm true
	// pram 75 cm 90 cm true
}
