package master

// seatMM is how deep a loose piece sits in its base, so that its rim is as thick as
// a print needs and the edge of its fillet still lies flush.
const seatMM = 0.8
