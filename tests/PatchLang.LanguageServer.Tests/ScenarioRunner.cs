using System.Text.Json.Nodes;

namespace PatchLang.LanguageServer.Tests;

/// <summary>Plays a scenario against a server, and gives the scenario with the answers that came.</summary>
internal sealed class ScenarioRunner(ServerProcess server, Folder folder, JsonArray legend, string root)
{
    private readonly List<MarkedFile> files = [];
    private MarkedFile current = null!;
    private JsonObject? last;

    public async Task<Scenario> Play(Scenario scenario)
    {
        foreach (var shared in Directory.GetFiles(Path.Combine(Scenario.Folder, "shared"))) folder.With(Path.Combine(root, Path.GetFileName(shared)), await File.ReadAllTextAsync(shared));
        var steps = new List<ScenarioStep>();
        foreach (var step in scenario.Steps) steps.Add(step with { Body = await Take(step) });
        foreach (var file in files) server.Close(UriOf(file.Name));
        return scenario with { Steps = steps };
    }

    private string UriOf(string name) => folder.UriOf(Path.Combine(root, name));

    private async Task<string> Take(ScenarioStep step)
    {
        switch (step.Word)
        {
            case "file":
            case "disk":
                var file = new MarkedFile(step.Argument, step.Body);
                folder.With(Path.Combine(root, file.Name), file.Text);
                files.Add(file);
                if (file.Cursor is not null || files.Count == 1) current = file;
                if (step.Word == "file") server.Open(UriOf(file.Name), file.Text);
                return step.Body;
            case "type":
                Type(step.Argument.Replace("\\n", "\n", StringComparison.Ordinal));
                return "";
            case "findings":
                var answer = await server.Ask("textDocument/diagnostic", new JsonObject { ["textDocument"] = Document(step.Argument.Length > 0 ? step.Argument : current.Name) });
                return string.Join('\n', answer["result"]!["items"]!.AsArray().Select(d => $"{(int)d!["range"]!["start"]!["line"]! + 1}:{(int)d["range"]!["start"]!["character"]! + 1} {d["code"]} {d["message"]}"));
            case "ask":
                return await Ask(step.Argument);
            default:
                throw new FormatException($"A scenario has no step {step.Word}.");
        }
    }

    private void Type(string text)
    {
        var at = current.Cursor!.Value;
        var (line, character) = current.At(at);
        current.Text = current.Text.Insert(at, text);
        current.Cursor = at + text.Length;
        server.Change(UriOf(current.Name), ++current.Version, line, character, line, character, text);
    }

    private JsonObject Document(string name) => new() { ["uri"] = UriOf(name) };

    private async Task<string> Ask(string argument)
    {
        var words = argument.Split(' ');
        var method = words[0];
        var options = words.Skip(1).Select(w => w.Split('=', 2)).ToDictionary(w => w[0], w => w.Length > 1 ? w[1] : "");
        JsonObject answer;
        if (method.StartsWith("callHierarchy/", StringComparison.Ordinal))
        {
            var prepared = await server.Ask("textDocument/prepareCallHierarchy", Parameters("", options));
            answer = await server.Ask(method, new JsonObject { ["item"] = prepared["result"]![0]!.DeepClone() });
        }
        else answer = await server.Ask(method, Parameters(method, options));
        var text = new AnswerText(folder.UriOf(root), files);
        if (options.ContainsKey("applied")) return Applied(answer, options);
        last = answer;
        var lines = text.Of(method, answer, current, legend);
        if (options.TryGetValue("first", out var first)) lines = string.Join('\n', lines.Split('\n').Take(int.Parse(first, System.Globalization.CultureInfo.InvariantCulture)));
        if (options.TryGetValue("with", out var with)) lines = string.Join('\n', lines.Split('\n').Where(l => l.Contains(with, StringComparison.Ordinal)));
        if (options.TryGetValue("width", out var width)) lines = string.Join('\n', lines.Split('\n').Select(l => l[..Math.Min(l.Length, int.Parse(width, System.Globalization.CultureInfo.InvariantCulture))]));
        return lines;
    }

    private JsonObject Parameters(string method, Dictionary<string, string> options)
    {
        var parameters = new JsonObject();
        if (method is "workspace/symbol") return new JsonObject { ["query"] = options["query"] };
        if (method is "workspace/textDocumentContent") return new JsonObject { ["uri"] = options["uri"] };
        if (method is "workspace/willRenameFiles")
            return new JsonObject { ["files"] = new JsonArray(new JsonObject { ["oldUri"] = UriOf(options["old"]), ["newUri"] = UriOf(options["new"]) }) };
        parameters["textDocument"] = Document(current.Name);
        if (current.Cursor is { } cursor) parameters["position"] = PlaceOf(cursor);
        switch (method)
        {
            case "patchlang/drawing" or "patchlang/wayAt" or "patchlang/drawingFile":
                foreach (var (name, value) in options)
                    if (name is "kind" or "of" or "act") parameters[name] = value;
                    else if (name == "errors") parameters["mostErrors"] = int.Parse(value, System.Globalization.CultureInfo.InvariantCulture);
                break;
            case "textDocument/references":
                parameters["context"] = new JsonObject { ["includeDeclaration"] = !options.ContainsKey("uses") };
                break;
            case "textDocument/rename":
                parameters["newName"] = options["new"];
                break;
            case "textDocument/formatting" or "textDocument/rangeFormatting" or "textDocument/onTypeFormatting":
                parameters["options"] = new JsonObject { ["tabSize"] = 2, ["insertSpaces"] = true };
                parameters["range"] = RangeOf(options);
                if (method == "textDocument/onTypeFormatting") parameters["ch"] = options.GetValueOrDefault("ch", "\n");
                break;
            case "textDocument/codeAction":
                parameters["range"] = RangeOf(options);
                var context = new JsonObject { ["diagnostics"] = new JsonArray() };
                if (options.TryGetValue("only", out var only)) context["only"] = new JsonArray(only);
                parameters["context"] = context;
                break;
            case "textDocument/inlayHint" or "textDocument/semanticTokens/range":
                parameters["range"] = RangeOf(options);
                break;
            case "textDocument/selectionRange":
                parameters["positions"] = new JsonArray(PlaceOf(current.Cursor!.Value));
                break;
            case "textDocument/semanticTokens/full/delta":
                parameters["previousResultId"] = (string?)last?["result"]?["resultId"] ?? "none";
                break;
        }
        return parameters;
    }

    private JsonObject PlaceOf(int offset)
    {
        var (line, character) = current.At(offset);
        return new JsonObject { ["line"] = line, ["character"] = character };
    }

    private JsonObject RangeOf(Dictionary<string, string> options)
    {
        var (start, end) = options.TryGetValue("range", out var name) ? current.Ranges[name] : current.Cursor is { } cursor && !options.ContainsKey("all") ? (cursor, cursor) : (0, current.Text.Length);
        return new JsonObject { ["start"] = PlaceOf(start), ["end"] = PlaceOf(end) };
    }

    /// <summary>The files after the answer's edits; of several actions, after the one whose title begins as asked.</summary>
    private string Applied(JsonObject answer, Dictionary<string, string> options)
    {
        if (answer["result"] is not { } result) return answer["error"] is { } error ? $"refused {error["code"]}: {error["message"]}" : "nothing";
        if (result is JsonArray actions && actions is [{ } action, ..] && action["edit"] is not null)
            result = actions.First(a => ((string)a!["title"]!).StartsWith(options["applied"].Replace('_', ' '), StringComparison.Ordinal))!["edit"]!;
        var changes = new Dictionary<string, JsonArray>();
        if (result is JsonArray edits) changes[UriOf(current.Name)] = edits;
        else if (result["documentChanges"] is JsonArray documents)
            foreach (var document in documents) changes[(string)document!["textDocument"]!["uri"]!] = document["edits"]!.AsArray();
        else
            foreach (var (uri, list) in result["changes"]!.AsObject()) changes[uri] = list!.AsArray();
        return string.Join('\n', files.Where(f => changes.ContainsKey(UriOf(f.Name))).Select(f => $"~~ {f.Name}\n{Edited(f, changes[UriOf(f.Name)]).TrimEnd('\n')}"));
    }

    private static string Edited(MarkedFile file, JsonArray edits)
    {
        var text = file.Text;
        foreach (var edit in edits.Select(e => (Start: Offset(e!, "start"), End: Offset(e!, "end"), Text: (string)e!["newText"]!)).OrderByDescending(e => e.Start))
            text = text[..edit.Start] + edit.Text + text[edit.End..];
        return text;

        int Offset(JsonNode edit, string end) => file.OffsetOf((int)edit["range"]![end]!["line"]!, (int)edit["range"]![end]!["character"]!);
    }
}
