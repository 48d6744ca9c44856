package workshop

import "net/http"

// Server answers the routes.
type Server struct{}

func (s *Server) getRules(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) getState(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) postEdit(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) postUndo(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) postRedo(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) postSettle(http.ResponseWriter, *http.Request) error  { return nil }
func (s *Server) getFiles(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) getFile(http.ResponseWriter, *http.Request) error     { return nil }
func (s *Server) putFile(http.ResponseWriter, *http.Request) error     { return nil }
func (s *Server) getFonts(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) getPiece(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) getTray(http.ResponseWriter, *http.Request) error     { return nil }
func (s *Server) getItem(http.ResponseWriter, *http.Request) error     { return nil }
func (s *Server) postBuild(http.ResponseWriter, *http.Request) error   { return nil }
func (s *Server) deleteBuild(http.ResponseWriter, *http.Request) error { return nil }
func (s *Server) getPlan(http.ResponseWriter, *http.Request) error     { return nil }
func (s *Server) getOut(http.ResponseWriter, *http.Request) error      { return nil }
func (s *Server) getEvents(http.ResponseWriter, *http.Request) error   { return nil }
func (s *Server) getBegin(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) postBegin(http.ResponseWriter, *http.Request) error   { return nil }
func (s *Server) postPair(http.ResponseWriter, *http.Request) error    { return nil }
func (s *Server) getOpen(http.ResponseWriter, *http.Request) error     { return nil }
func (s *Server) getPage(http.ResponseWriter, *http.Request) error     { return nil }
