package master

// grooveMM is how deep the base's edge sits in a panel.
const grooveMM = 1.2
