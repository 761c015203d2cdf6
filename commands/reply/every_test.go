package reply

import (
	"countwright/commands/picture"
	"countwright/commands/words"
)

// every is a reply with every block and action on it.
func every() Reply {
	return Reply{
		Command: "even shape",
		Title:   "14 increases over 87 stitches: 101 stitches",
		Parts: []Block{
			Text{"US terms. This paragraph is long enough that it has to be broken into lines on a terminal of eighty columns.\nIts second line stands alone."},
			Steps{[]string{"Chain 88.", "Single crochet in the second chain from the hook and in each chain across. This step is long enough that it runs on to a second line.", "Turn."}},
			List{Title: "You need", Items: []string{"a hook of 5 mm", "yarn"}},
			List{Items: []string{"no title"}},
			Table{Title: "Counts", Head: []string{"Piece", "Stitches", "Width"}, Rows: [][]string{{"Back", "74", "53 cm"}, {"Ärmel 袖", "101", "7.5 cm"}}, Right: []bool{false, true, true}},
			Fields{[]Field{{"Gauge", "14 × 10 in 10 cm"}, {"Yarn", "medium (4)"}}},
			Rows{Title: "Back", Lines: []string{"Row 1 (RS): Sc in 2nd ch from hook and in each ch across, turn. (87 sts)", "Row 2: Ch 1, sc in next 3 sts, *2 sc in next st, sc in next 6 sts; rep from * to last 6 sts, sc in each st to end of the row, turn. (101 sts)"}},
			Caution{"Cords and small parts do not belong on things for babies. Local rules may say more, so read them before you sell."},
			Tip{"Put a marker into every tenth stitch."},
			Picture{Name: "even-shape", Alt: "A row of 87 stitches with 14 increases.", Drawing: &picture.Drawing{Width: 10, Height: 10}},
			File{Name: "back.txt", Type: "text/plain", Body: []byte("Row 1")},
		},
		Actions: []Action{
			Button{"In a round", "/even shape stitches:87 increase:14 in:round"},
			Menu{"Other sizes", []Button{{"S", "/resize size:S"}, {"M", "/resize size:M"}}},
		},
		Private: true,
		Data:    map[string]any{"stitches": 87, "events": 14, "result": 101},
	}
}

// mistaken is the reply to a mistake, as the set of commands makes it.
func mistaken() Reply {
	r := Mistaken(words.Printer{}, "stitches", words.Say("“many” is not a number; it takes a whole number from 1 to 5000."), "/even shape stitches:87 increase:14", Tip{"Count the row twice."})
	r.Command = "even shape"
	return r
}

// asking is a reply that is a form.
func asking() Reply {
	return Reply{Command: "pattern check", Title: "Check rows", Form: &Form{Title: "Paste the rows", Line: "/pattern check terms:US", Fields: []Blank{
		{Option: "text", Label: "The rows", Hint: "Row 1: Sc in each st across.", Long: true, Required: true, Most: 4000},
		{Option: "start", Label: "Stitches before the first row", Most: 5},
	}}}
}

// sly is a reply with a member's text that tries to steer the terminal.
func sly() Reply {
	return Reply{Command: "me show", Title: "Mira\x1b]0;owned\x07", Parts: []Block{
		Text{"\x1b[2Jgone? abc\u202etxt.exe and\ttab\u2066."},
		Table{Head: []string{"Name"}, Rows: [][]string{{"two\nlines\r\x1b[1A"}}},
		Rows{Lines: []string{"Row 1:\x1b[8m hidden\x1b[0m\nRow 2:\u2028x"}},
	}, Actions: []Action{Button{"go\u202e", "/me show name:\x1b[31m"}}}
}
