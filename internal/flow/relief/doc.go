// Package relief turns artwork into heights: outlines by exact signed distance and
// a wall profile, tones by brightness, meshes by their top view.
//
//	geom.Outline + depth, profile, draft --FromOutline--> field.Field of heights 0..depth
//	tone field + depth                   --FromTone-----> field.Field of heights 0..depth
package relief
