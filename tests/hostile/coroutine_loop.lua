-- ends with 3: nor can a coroutine around it
local function loop()
    while true do
    end
end
pcall(coroutine.wrap(function()
    pcall(coroutine.wrap(loop))
    loop()
end))
coroutine.resume(coroutine.create(loop))
print("still here")
