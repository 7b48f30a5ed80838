-- Neovim's own client drives the server: nvim --headless --clean -c 'luafile neovim.lua' -c 'cquit!' (Neovim 0.7 or later).
-- PATCHLANG_COMMAND is how the server is started, words apart by blanks. It runs in the folder with the README, whose lines it tries.
local command = vim.split(os.getenv('PATCHLANG_COMMAND'), ' ')
local passed, failed = 0, 0

local function say(line) io.stdout:write(line .. '\n') end

local function check(name, is_right, detail)
  if is_right then passed = passed + 1 else failed = failed + 1 end
  say((is_right and 'ok ' or 'not ok ') .. name .. (is_right and '' or ': ' .. vim.inspect(detail)))
end

local folder = vim.fn.tempname()
vim.fn.mkdir(folder, 'p')
local path = folder .. '/quay.rig'
vim.fn.writefile({
  'rig "Lantern Quay"',
  'rate 48 kHz',
  'use "library/stage.rig"',
  'use "library/desks.rig"',
  'unit rack : StageRack(16, 8) "Stage rack"',
  'unit desk :   Desk49',
  'feed lead : rack.mic[1] -> rack.net[1]',
  'bundle band : lead',
}, path)
vim.env.XDG_CACHE_HOME = folder .. '/cache'
local readme = table.concat(vim.fn.readfile('README.md'), '\n')
local lines_for_neovim = readme:match('```lua\n(.-)```'):gsub('{ "patchlang", "serve" }', function() return vim.inspect(command) end)
vim.cmd('cd ' .. folder)
assert(load(lines_for_neovim))()
vim.cmd('edit ' .. path)
local buffer = vim.api.nvim_get_current_buf()
vim.wait(60000, function() return #vim.lsp.get_active_clients() > 0 end, 20)
local id = vim.lsp.get_active_clients()[1].id

local function ask(method, params)
  local answers = vim.lsp.buf_request_sync(buffer, method, params, 60000)
  return answers and answers[id] and answers[id].result
end

local function at(line, character)
  -- The plan's lines hold ASCII alone, so that a column is a column in every encoding; the cursor itself can't stand behind a line's end.
  return { textDocument = vim.lsp.util.make_text_document_params(buffer), position = { line = line - 1, character = character } }
end

local function has(diagnostics, text)
  for _, diagnostic in ipairs(diagnostics) do
    if diagnostic.message:find(text, 1, true) then return true end
  end
  return false
end

vim.wait(60000, function() return #vim.diagnostic.get(buffer) > 0 end, 20)
local found = vim.diagnostic.get(buffer)
check('findings appear', has(found, 'there is no gear called `Desk49`'), found)

local hover = ask('textDocument/hover', at(5, 6))
check('hover says what it is', hover and hover.contents.value:find('unit rack : StageRack(16, 8)', 1, true), hover)

local definition = ask('textDocument/definition', at(8, 15))
check('a definition is found', definition and (definition[1].targetUri or definition[1].uri) == vim.uri_from_fname(path), definition)

-- The shipped library is no file of the plan: a client without documents of its own kind gets one to read.
local gear = ask('textDocument/definition', at(5, 13))
vim.lsp.util.jump_to_location(gear[1], vim.lsp.get_client_by_id(id).offset_encoding)
local library = vim.api.nvim_get_current_buf()
local line = vim.api.nvim_get_current_line()
check('a jump leads into the library', vim.api.nvim_buf_get_name(library):find('/library/stage%.rig$') and line:find('gear StageRack', 1, true), { gear, line })
check('which is there to be read', vim.bo.readonly, vim.bo.readonly)
check('by the same server', #vim.lsp.get_active_clients() == 1 and vim.lsp.buf_is_attached(library, id), vim.lsp.get_active_clients())
local function ask_library(method, params)
  local answers = vim.lsp.buf_request_sync(library, method, params, 60000)
  return answers and answers[id] and answers[id].result
end
local in_library = vim.lsp.util.make_position_params(0, vim.lsp.get_client_by_id(id).offset_encoding)
hover = ask_library('textDocument/hover', in_library)
check('hover works there', hover and hover.contents.value:find('gear StageRack', 1, true), hover)
in_library.context = { includeDeclaration = false }
local uses = ask_library('textDocument/references', in_library)
check('and who uses it is found', uses and #uses == 1 and uses[1].uri == vim.uri_from_fname(path), uses)
check('nothing is found wrong with it', #vim.diagnostic.get(library) == 0, vim.diagnostic.get(library))
vim.cmd('buffer ' .. buffer)

vim.api.nvim_buf_set_lines(buffer, 8, 8, false, { 'feed other : rack.' })
local completion = ask('textDocument/completion', at(9, 18))
local labels = {}
for _, item in ipairs(completion and completion.items or {}) do labels[item.label] = true end
check('completion knows the place', labels.mic and labels.net and not labels.desk, labels)
vim.api.nvim_buf_set_lines(buffer, 8, 9, false, {})

local rename = at(7, 6)
rename.newName = 'voice'
local edit = ask('textDocument/rename', rename)
vim.lsp.util.apply_workspace_edit(edit, vim.lsp.get_client_by_id(id).offset_encoding)
local lines = vim.api.nvim_buf_get_lines(buffer, 0, -1, false)
check('a rename reaches every place', lines[7] == 'feed voice : rack.mic[1] -> rack.net[1]' and lines[8] == 'bundle band : voice', lines)

local edits = ask('textDocument/formatting', vim.lsp.util.make_formatting_params())
vim.lsp.util.apply_text_edits(edits, buffer, vim.lsp.get_client_by_id(id).offset_encoding)
lines = vim.api.nvim_buf_get_lines(buffer, 0, -1, false)
check('the plan is tidied', lines[6] == 'unit desk : Desk49', lines)

local range = vim.lsp.util.make_given_range_params({ 6, 0 }, { 6, 18 })
range.context = { diagnostics = {} }
local actions = ask('textDocument/codeAction', range)
check('a fix is offered', actions and actions[1] and actions[1].title == 'write `Desk48`', actions)
vim.lsp.util.apply_workspace_edit(actions[1].edit, vim.lsp.get_client_by_id(id).offset_encoding)
vim.wait(60000, function() return not has(vim.diagnostic.get(buffer), 'Desk49') end, 20)
check('and mends the plan', not has(vim.diagnostic.get(buffer), 'Desk49'), vim.diagnostic.get(buffer))

vim.lsp.stop_client(id)
vim.wait(10000, function() return vim.lsp.get_client_by_id(id) == nil or vim.lsp.get_client_by_id(id).is_stopped() end, 20)
vim.fn.delete(folder, 'rf')
say('# pass ' .. passed)
say('# fail ' .. failed)
vim.cmd(failed == 0 and 'qall!' or 'cquit!')
