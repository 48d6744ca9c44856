// Package relief turns artwork into heights: outlines by exact signed distance and
// a wall profile, tones by brightness, meshes by their top view.
//
//	geom.Outline + depth, profile, draft  --FromOutline--> field.Field of heights 0..depth
//	tone field + depth, draft, mask       --FromTone-----> field.Field of heights 0..depth
//	top view of a mesh + depth, draft     --FromHeights--> field.Field of heights 0..depth
//
// Whether such a field is raised above a chocolate's top or sunk into it is the
// piece's business; a relief knows no side. Union takes the higher of several.
package relief
