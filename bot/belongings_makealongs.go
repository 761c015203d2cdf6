package main

import "countwright/store"

// alongTables are what make-alongs hold of a member.
func alongTables(all *store.Alongs) []table {
	hosted := table{name: "makealongs", head: []string{"id", "server", "channel", "name", "state", "version", "made", "changed", "course"}}
	parts := table{name: "parts", head: []string{"makealong", "name", "joined", "project", "size", "gauge", "seat", "days_later", "state", "pings", "left_alone", "targets", "measured", "remarks"}}
	answers := table{name: "answers", head: []string{"makealong", "milestone", "name", "said", "place", "words", "at"}}
	pictures := table{name: "pictures", head: []string{"id", "makealong", "name", "text", "place", "at"}}
	notes := table{name: "host_notes", head: []string{"id", "makealong", "key", "due", "state", "text", "sent"}}
	pings := table{name: "pings", head: []string{"post", "at"}}
	if all == nil {
		all = &store.Alongs{}
	}
	for _, m := range all.Hosted {
		hosted.add(m.ID, m.Server, m.Channel, m.Name, m.State, m.Version, m.MadeAt, m.ChangedAt, string(m.Course))
	}
	for _, p := range all.Parts {
		parts.add(p.Along, p.Name, p.JoinedAt, p.Project, p.Size, p.Gauge, p.Seat, p.Shift, p.State, p.Pings, p.Quiet, string(p.Targets), string(p.Measured), p.Remarks)
	}
	for _, a := range all.Answers {
		answers.add(a.Along, a.Milestone+1, a.Name, a.Say, a.Place, a.Words, a.At)
	}
	for _, p := range all.Pictures {
		pictures.add(p.ID, p.Along, p.Name, p.Text, p.Place, p.At)
	}
	for _, n := range all.Notes {
		notes.add(n.ID, n.Along, n.Key, n.Due, n.State, n.Text, n.SentAt)
	}
	for _, p := range all.Pings {
		pings.add(p.Post, p.At)
	}
	return []table{hosted, parts, answers, pictures, notes, pings}
}
