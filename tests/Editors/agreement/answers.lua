-- Asks Neovim's own client what questions.json asks of the plan beside it, and writes answers.json:
-- nvim --headless --clean -c 'luafile answers.lua' -c 'cquit!' in the folder with both. PATCHLANG_COMMAND is how the server is
-- started, words apart by blanks. asker.js asks the other editor the same, and writes it the same way.
local path = vim.fn.getcwd() .. '/quay.rig'
vim.cmd('edit ' .. path)
local buffer = vim.api.nvim_get_current_buf()
local id = vim.lsp.start_client({ cmd = vim.split(os.getenv('PATCHLANG_COMMAND'), ' '), root_dir = vim.fn.getcwd() })
vim.bo[buffer].filetype = 'rig'
vim.lsp.buf_attach_client(buffer, id)
vim.wait(60000, function() return #vim.diagnostic.get(buffer) > 0 end, 20)
local encoding = vim.lsp.get_client_by_id(id).offset_encoding

local function request(method, question, more)
  local params = { textDocument = { uri = vim.uri_from_fname(path) } }
  if question.line then params.position = { line = question.line, character = question.character } end
  local answers = vim.lsp.buf_request_sync(buffer, method, vim.tbl_extend('error', params, more or {}), 60000)
  return answers[id].result
end

local function map(list, write)
  local written = {}
  for _, item in ipairs(list) do table.insert(written, write(item)) end
  return written
end

local function sorted(list)
  table.sort(list)
  return list
end

local function span(range)
  return ('%d:%d-%d:%d'):format(range.start.line, range.start.character, range['end'].line, range['end'].character)
end

-- A place as the protocol counts: Neovim keeps findings by bytes.
local function utf16(line, byte)
  local _, character = vim.str_utfindex(vim.api.nvim_buf_get_lines(buffer, line, line + 1, false)[1], byte)
  return { line = line, character = character }
end

local function place(found)
  return vim.fn.fnamemodify(vim.uri_to_fname(found.targetUri or found.uri), ':t') .. ' ' .. span(found.targetSelectionRange or found.range)
end

local function flat(symbols, written)
  for _, symbol in ipairs(symbols) do
    table.insert(written, symbol.name .. ' ' .. span(symbol.selectionRange))
    flat(symbol.children or {}, written)
  end
  return written
end

-- The buffer's lines as some edits leave them.
local function changed(edits)
  local copy = vim.api.nvim_create_buf(false, true)
  vim.api.nvim_buf_set_lines(copy, 0, -1, false, vim.api.nvim_buf_get_lines(buffer, 0, -1, false))
  vim.lsp.util.apply_text_edits(edits, copy, encoding)
  return vim.api.nvim_buf_get_lines(copy, 0, -1, false)
end

local function changed_by(edit)
  if edit.documentChanges then return changed(edit.documentChanges[1].edits) end
  return changed(edit.changes[vim.uri_from_fname(path)])
end

local ask = {
  findings = function()
    return sorted(map(vim.diagnostic.get(buffer), function(d)
      local range = { start = utf16(d.lnum, d.col), ['end'] = utf16(d.end_lnum, d.end_col) }
      return span(range) .. ' ' .. d.severity .. ' ' .. d.user_data.lsp.code .. ' ' .. d.message
    end))
  end,
  hover = function(question)
    local hover = request('textDocument/hover', question)
    return { span(hover.range) .. ' ' .. vim.trim(hover.contents.value) }
  end,
  completion = function(question)
    return sorted(map(request('textDocument/completion', question).items, function(item) return item.label end))
  end,
  definition = function(question) return map(request('textDocument/definition', question), place) end,
  references = function(question)
    return sorted(map(request('textDocument/references', question, { context = { includeDeclaration = true } }), place))
  end,
  highlights = function(question)
    return sorted(map(request('textDocument/documentHighlight', question), function(h) return span(h.range) .. ' ' .. h.kind end))
  end,
  symbols = function(question) return sorted(flat(request('textDocument/documentSymbol', question), {})) end,
  rename = function(question) return changed_by(request('textDocument/rename', question, { newName = question.to })) end,
  formatting = function(question)
    return changed(request('textDocument/formatting', question, { options = { tabSize = 2, insertSpaces = true } }))
  end,
  mends = function(question)
    local here = { line = question.line, character = question.character }
    local found = request('textDocument/codeAction', {}, { range = { start = here, ['end'] = here }, context = { diagnostics = {}, only = { 'quickfix' } } })
    return map(found, function(action) return vim.list_extend({ action.title }, action.edit and changed_by(action.edit) or {}) end)
  end,
}

local questions = vim.json.decode(table.concat(vim.fn.readfile('questions.json'), '\n'))
local answers = map(questions, function(question)
  return vim.tbl_extend('error', question, { answer = ask[question.ask](question) })
end)
vim.fn.writefile({ vim.json.encode(answers) }, 'answers.json')
vim.lsp.stop_client(id)
vim.cmd('qall!')
