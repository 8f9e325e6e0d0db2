-- ends with 1: a script that is none
ll.coil{ turns = 8000
