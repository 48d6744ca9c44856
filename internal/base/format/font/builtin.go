package font

import (
	"embed"
	"sync"
)

//go:embed files
var files embed.FS

// builtin is one font of the built-in set; files/README.md says where each is from.
type builtin struct {
	name        string
	file        string
	serif, bold bool
	ornate      bool // stands in for a plain font only when no plain one can
	once        func() *Font
}

var builtins = []builtin{
	{name: "sans", file: "noto/NotoSans-Regular.ttf"},
	{name: "sans bold", file: "noto/NotoSans-Bold.ttf", bold: true},
	{name: "serif", file: "vollkorn/Vollkorn-Medium.ttf", serif: true},
	{name: "serif bold", file: "vollkorn/Vollkorn-Bold.ttf", serif: true, bold: true},
	{name: "slab", file: "robotoslab/RobotoSlab-Regular.otf"},
	{name: "slab bold", file: "robotoslab/RobotoSlab-Bold.otf", bold: true},
	{name: "script", file: "dancingscript/DancingScript-Bold.otf", serif: true, ornate: true},
	{name: "script bold", file: "lobstertwo/LobsterTwo-BoldItalic.otf", serif: true, bold: true, ornate: true},
	{name: "display", file: "lemonada/Lemonada-Bold.otf", bold: true, ornate: true},
	{name: "rounded", file: "quicksand/Quicksand-Bold.ttf", bold: true, ornate: true},

	{name: "sans arabic", file: "noto/NotoSansArabic-Regular.ttf"},
	{name: "sans arabic bold", file: "noto/NotoSansArabic-Bold.ttf", bold: true},
	{name: "serif arabic", file: "noto/NotoNaskhArabic-Regular.ttf", serif: true},
	{name: "serif arabic bold", file: "noto/NotoNaskhArabic-Bold.ttf", serif: true, bold: true},
	{name: "sans hebrew", file: "noto/NotoSansHebrew-Regular.ttf"},
	{name: "sans hebrew bold", file: "noto/NotoSansHebrew-Bold.ttf", bold: true},
	{name: "serif hebrew", file: "noto/NotoSerifHebrew-Regular.ttf", serif: true},
	{name: "serif hebrew bold", file: "noto/NotoSerifHebrew-Bold.ttf", serif: true, bold: true},
	{name: "sans devanagari", file: "noto/NotoSansDevanagari-Regular.ttf"},
	{name: "sans devanagari bold", file: "noto/NotoSansDevanagari-Bold.ttf", bold: true},
	{name: "serif devanagari", file: "noto/NotoSerifDevanagari-Regular.ttf", serif: true},
	{name: "serif devanagari bold", file: "noto/NotoSerifDevanagari-Bold.ttf", serif: true, bold: true},
	{name: "sans bengali", file: "noto/NotoSansBengali-Regular.ttf"},
	{name: "sans bengali bold", file: "noto/NotoSansBengali-Bold.ttf", bold: true},
	{name: "sans tamil", file: "noto/NotoSansTamil-Regular.ttf"},
	{name: "sans tamil bold", file: "noto/NotoSansTamil-Bold.ttf", bold: true},
	{name: "sans thai", file: "noto/NotoSansThai-Regular.ttf"},
	{name: "sans thai bold", file: "noto/NotoSansThai-Bold.ttf", bold: true},
	{name: "sans armenian", file: "noto/NotoSansArmenian-Regular.ttf"},
	{name: "sans armenian bold", file: "noto/NotoSansArmenian-Bold.ttf", bold: true},
	{name: "sans georgian", file: "noto/NotoSansGeorgian-Regular.ttf"},
	{name: "sans georgian bold", file: "noto/NotoSansGeorgian-Bold.ttf", bold: true},
	{name: "sans japanese", file: "mplus/Mplus1-Bold.otf", bold: true},
}

func init() {
	for i := range builtins {
		b := &builtins[i]
		b.once = sync.OnceValue(func() *Font {
			data, err := files.ReadFile("files/" + b.file)
			if err != nil {
				panic(err) // not possible: the file is part of the program
			}
			f, err := Parse(b.name, data)
			if err != nil {
				panic(err) // not possible: TestBuiltin reads every one
			}
			return f
		})
	}
}

// Builtin is the built-in font of that name, nil when there is none. It is read
// when first asked for.
func Builtin(name string) *Font {
	for i := range builtins {
		if builtins[i].name == name {
			return builtins[i].once()
		}
	}
	return nil
}

// Names lists the built-in fonts, those for Latin first.
func Names() []string {
	names := make([]string, len(builtins))
	for i, b := range builtins {
		names[i] = b.name
	}
	return names
}

// Substitutes lists the built-in fonts that may stand in for a font, the nearest
// in character first: of its kind (with or without serifs) and weight, then of its
// weight, then the rest, ornate ones last. A font from a file counts as a bold sans.
func Substitutes(name string) []string {
	like := builtin{bold: true}
	for _, b := range builtins {
		if b.name == name {
			like = b
		}
	}
	var out []string
	for pass := range 4 {
		for _, b := range builtins {
			rank := 2
			switch {
			case b.ornate:
				rank = 3
			case b.bold == like.bold && b.serif == like.serif:
				rank = 0
			case b.bold == like.bold:
				rank = 1
			}
			if rank == pass && b.name != name {
				out = append(out, b.name)
			}
		}
	}
	return out
}
