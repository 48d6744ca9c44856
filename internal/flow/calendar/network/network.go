// Package network schedules tasks that wait for each other and share what there is
// little of: machines, and the hours in which a person is free.
package network
