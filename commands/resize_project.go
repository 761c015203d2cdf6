package commands

import "countwright/commands/reply"

// leftOut are the options of /resize that a project does not take up: how the
// answer was to look.
var leftOut = map[string]bool{"sheet": true, "terms": true}

// startButton offers to start a project from what was just made, where a
// button can hold the whole line. A garment that was altered, or whose bare
// numbers were read in another unit, is not offered: the line would make
// another one.
func startButton(r Request) []reply.Action {
	inputs := map[string]Input{}
	for name, in := range r.Inputs {
		switch {
		case leftOut[name]:
		case name == "change", name == "units", name == "from", in.File != nil:
			return nil
		default:
			inputs[name] = in
		}
	}
	line := Line("project start", inputs)
	if len(line) > 90 {
		return nil
	}
	return []reply.Action{reply.Button{Label: r.Say("Start a project"), Line: line}}
}
