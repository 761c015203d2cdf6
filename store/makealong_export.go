package store

// Alongs are all that make-alongs hold of a member.
type Alongs struct {
	Hosted   []MakeAlong   `json:"hosted"`   // those that they made
	Parts    []Participant `json:"parts"`    // that they take
	Answers  []Answer      `json:"answers"`  // that they gave
	Pictures []Picture     `json:"pictures"` // that they showed
	Notes    []Post        `json:"notes"`    // to them as a host
	Pings    []Ping        `json:"pings"`    // that they got
}

// alongsOf reads them; nil where there is nothing.
func alongsOf(t tx, member string) (*Alongs, error) {
	var all Alongs
	rows, err := t.Query(`SELECT `+alongColumns+` FROM makealongs WHERE host = ?1 AND host <> '' ORDER BY id`, member)
	if all.Hosted, err = collect(rows, err, scanMakeAlong); err != nil {
		return nil, err
	}
	if all.Parts, err = joined(t, member); err != nil {
		return nil, err
	}
	rows, err = t.Query(`SELECT `+answerColumns+` FROM makealong_answers WHERE member = ?1 ORDER BY makealong, milestone`, member)
	if all.Answers, err = collect(rows, err, scanAnswer); err != nil {
		return nil, err
	}
	rows, err = t.Query(`SELECT `+pictureColumns+` FROM makealong_pictures WHERE member = ?1 ORDER BY id`, member)
	if all.Pictures, err = collect(rows, err, scanPicture); err != nil {
		return nil, err
	}
	rows, err = t.Query(`SELECT `+postColumns+` FROM makealong_posts WHERE recipient = ?1 AND recipient <> '' ORDER BY id`, member)
	if all.Notes, err = collect(rows, err, scanPost); err != nil {
		return nil, err
	}
	if all.Pings, err = pings(t, member); err != nil {
		return nil, err
	}
	if len(all.Hosted)+len(all.Parts)+len(all.Answers)+len(all.Pictures)+len(all.Notes)+len(all.Pings) == 0 {
		return nil, nil
	}
	return &all, nil
}
