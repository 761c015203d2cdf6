package commands

// patternFamily is the family about written rows.
func patternFamily(s Services) *Command {
	return &Command{Name: "pattern", Short: "Check, translate, chart and keep written rows", Sub: []*Command{
		patternCheck(s), patternTerms(s), patternChart(s), patternAdd(s), patternShow(s), patternList(s), patternRemove(s),
	}}
}
