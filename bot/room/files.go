package room

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"countwright/commands"
	"countwright/commands/picture"
	"countwright/commands/reply"
)

// attach turns the values of file options, which are paths here, into
// attachments.
func attach(set *commands.Set, path string, inputs map[string]commands.Input) (map[string]commands.Input, error) {
	command, ok := set.Lookup(path)
	if !ok {
		return inputs, nil
	}
	for name, in := range inputs {
		o, ok := command.Option(name)
		if !ok || o.Spec().Kind != commands.File {
			continue
		}
		info, err := os.Stat(in.Text)
		if err != nil || info.IsDir() {
			return nil, &commands.Mistake{Option: name, Message: "there is no file %q here", Args: []any{in.Text}, Example: name + ":" + o.Spec().Example}
		}
		in.File = &commands.Attachment{
			Name: filepath.Base(in.Text), Size: info.Size(),
			Load: func(context.Context) ([]byte, error) { return os.ReadFile(in.Text) },
		}
		inputs[name] = in
	}
	return inputs, nil
}

// show prints a reply and writes its pictures and files.
func (r *Room) show(answer reply.Reply) error {
	var pictures []reply.SavedPicture
	var files []reply.SavedFile
	paths := map[string]string{}
	for _, part := range answer.Parts {
		switch p := part.(type) {
		case reply.Picture:
			body, err := picture.PNG(p.Drawing, picture.PNGOptions{})
			if err != nil {
				return fmt.Errorf("draw %s: %w", p.Name, err)
			}
			path, err := r.save(p.Name+".png", body)
			if err != nil {
				return err
			}
			paths[p.Name] = path
			pictures = append(pictures, reply.SavedPicture{Path: path, Alt: p.Alt})
		case reply.File:
			path, err := r.save(p.Name, p.Body)
			if err != nil {
				return err
			}
			paths[p.Name] = path
			files = append(files, reply.SavedFile{Name: p.Name, Path: path})
		}
	}
	if r.JSON {
		line, err := reply.JSON(answer, pictures, files)
		if err != nil {
			return err
		}
		if line, err = r.posted.object(line); err != nil {
			return err
		}
		_, err = r.Out.Write(line)
		return err
	}
	text, err := reply.Terminal(answer, reply.TerminalOptions{Width: r.Width, Colour: r.Colour, Saved: func(b reply.Block) string {
		switch p := b.(type) {
		case reply.Picture:
			return paths[p.Name]
		case reply.File:
			return paths[p.Name]
		}
		return ""
	}})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintln(r.Out, text)
	return err
}

// save writes a file that an answer holds, numbered so that none replaces
// another.
func (r *Room) save(name string, body []byte) (string, error) {
	if err := os.MkdirAll(r.Pictures, 0o755); err != nil {
		return "", fmt.Errorf("make folder for pictures: %w", err)
	}
	for {
		r.saved++
		path := filepath.Join(r.Pictures, fmt.Sprintf("%03d-%s", r.saved, filepath.Base(name)))
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if os.IsExist(err) {
			continue
		}
		if err != nil {
			return "", fmt.Errorf("write %s: %w", name, err)
		}
		_, err = f.Write(body)
		if closed := f.Close(); err == nil {
			err = closed
		}
		return path, err
	}
}
