// Package photo takes out of a photo what is not the picture: where and when it
// was taken, with which telephone, the thumbnail of what was cut away. What is
// seen stays as it is, to the last dot.
//
// Sources: ITU-T T.81, annex B (JPEG's markers); JEITA CP-3451, Exif, section
// 4.6 (the orientation tag); W3C, Portable Network Graphics, third edition,
// sections 5 and 11 (chunks); RFC 9649, WebP Image Format, section 2 (the
// container). All from memory, checked in the tests against the decoders of
// the standard library and golang.org/x/image.
package photo

import "errors"

// Kind is the form of a picture file.
type Kind struct {
	Type      string // media type
	Extension string // ".jpg"
}

// The kinds that are understood.
var (
	JPEG = Kind{"image/jpeg", ".jpg"}
	PNG  = Kind{"image/png", ".png"}
	WebP = Kind{"image/webp", ".webp"}
)

// Errors of Bare.
var (
	ErrKind   = errors.New("it is no JPEG, PNG or WebP picture")
	ErrBroken = errors.New("the picture is broken off or damaged")
)

// Bare returns a picture without what a camera or a program wrote beside it,
// and its kind, which is read from the bytes and not from a name. How a JPEG is
// to be turned, and the colours that numbers mean, are kept. Errors are ErrKind
// and ErrBroken.
func Bare(body []byte) ([]byte, Kind, error) {
	for _, k := range []struct {
		Kind
		begins string
		bare   func([]byte) ([]byte, error)
	}{
		{JPEG, "\xff\xd8\xff", bareJPEG},
		{PNG, pngBegins, barePNG},
		{WebP, "RIFF", bareWebP},
	} {
		if len(body) < len(k.begins) || string(body[:len(k.begins)]) != k.begins {
			continue
		}
		if k.Kind == WebP && (len(body) < 12 || string(body[8:12]) != "WEBP") {
			break
		}
		out, err := k.bare(body)
		return out, k.Kind, err
	}
	return nil, Kind{}, ErrKind
}
