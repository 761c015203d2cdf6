package commands

// families is the one visible list of all commands, in the order of help.
func families(s Services) []*Command {
	s.checked = newLately()
	var list []*Command
	list = []*Command{
		gaugeFamily(s),
		even(s),
		resize(s),
		patternFamily(s),
		sizeFamily(s),
		stitchCommand(s),
		hookCommand(s),
		termCommand(s),
		troubleCommand(s),
		yarnFamily(s),
		projectFamily(s),
		makealongFamily(s),
		me(s),
		help(func() []*Command { return list }),
	}
	return list
}
