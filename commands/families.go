package commands

// families is the one visible list of all commands, in the order of help.
func families(s Services) []*Command {
	var list []*Command
	list = []*Command{
		gaugeFamily(s),
		even(s),
		hookCommand(s),
		me(s),
		help(func() []*Command { return list }),
	}
	return list
}
