// Package typeface carries the two typefaces of the printed sheets and the workshop;
// README.md says where they are from and what was done to them.
package typeface

import (
	"embed"
	_ "embed"
)

// Files holds every font file and its licence: vollkorn/…, cabin/….
//
//go:embed vollkorn cabin
var Files embed.FS

// The faces of Vollkorn (text and numbers) and Cabin (labels).
var (
	//go:embed vollkorn/Vollkorn-Regular.ttf
	Serif []byte
	//go:embed vollkorn/Vollkorn-Italic.ttf
	SerifItalic []byte
	//go:embed vollkorn/Vollkorn-SemiBold.ttf
	SerifBold []byte
	//go:embed cabin/Cabin-Regular.otf
	Sans []byte
	//go:embed cabin/Cabin-SemiBold.otf
	SansBold []byte
)
