-- ends with 1: a module that needs itself
require("parts.needs_itself")
