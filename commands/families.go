package commands

// families is the one visible list of all commands.
func families(s Services) []*Command {
	return []*Command{
		me(s),
	}
}
