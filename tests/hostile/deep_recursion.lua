-- ends with 1: endless recursion
local function down()
    return 1 + down()
end
down()
