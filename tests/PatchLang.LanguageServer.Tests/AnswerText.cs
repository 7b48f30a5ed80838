using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace PatchLang.LanguageServer.Tests;

/// <summary>Answers as a reader wants them: places as <c>line:column</c> from 1, or by the name of a marked range; documents by their file's name.</summary>
internal sealed class AnswerText(string folderUri, IReadOnlyList<MarkedFile> files)
{
    private const int Width = 150;

    private static readonly string[] Kinds = ["", "text", "method", "function", "", "field", "variable", "class", "interface", "module", "property", "unit", "value", "", "keyword", "snippet", "", "file", "reference", "", "element", "constant", "struct", "event"];

    public string Of(string method, JsonObject answer, MarkedFile file, JsonArray? legend)
    {
        if (answer["error"] is { } error) return $"refused {error["code"]}: {error["message"]}";
        if (answer["result"] is not { } result) return "nothing";
        return method switch
        {
            "textDocument/completion" => string.Join('\n', result["items"]!.AsArray().Select(i => CompletionLine(i!))),
            "textDocument/hover" => (string)result["contents"]!["value"]!,
            "patchlang/drawing" or "patchlang/drawingFile" => Render(Counted(result.AsObject()), 0, null),
            _ when method.StartsWith("textDocument/semanticTokens", StringComparison.Ordinal) && result["data"] is JsonArray data => Tokens(data, file, legend!),
            _ => Render(result, 0, null),
        };
    }

    /// <summary>A drawing with the number of its things for its picture.</summary>
    private static JsonObject Counted(JsonObject drawing)
    {
        foreach (var (name, value) in drawing.Where(f => f.Key is "svg" or "forPaper").ToList())
            drawing[name] = string.Create(CultureInfo.InvariantCulture, $"{((string)value!).Split("<g class=\"box ").Length - 1} boxes, {((string)value!).Split("<g class=\"line ").Length - 1} lines");
        drawing.Remove("style");
        return drawing;
    }

    private static string CompletionLine(JsonNode item)
    {
        var line = $"{item["label"]} ({Kinds[(int)item["kind"]!]})";
        return item["detail"] is { } detail ? $"{line} {detail}" : line;
    }

    private static string Tokens(JsonArray data, MarkedFile file, JsonArray legend)
    {
        var lines = file.Text.Split('\n');
        var text = new StringBuilder();
        var (line, character) = (0, 0);
        for (var i = 0; i + 4 < data.Count; i += 5)
        {
            var delta = (int)data[i]!;
            line += delta;
            character = delta == 0 ? character + (int)data[i + 1]! : (int)data[i + 1]!;
            if (delta > 0 || i == 0) text.Append(i == 0 ? "" : "\n").Append(CultureInfo.InvariantCulture, $"{line + 1}:");
            text.Append(CultureInfo.InvariantCulture, $" {lines[line].AsSpan(character, (int)data[i + 2]!)}={legend[(int)data[i + 3]!]}{((int)data[i + 4]! > 0 ? "+" + data[i + 4] : "")}");
        }
        return text.ToString();
    }

    private string Render(JsonNode? node, int depth, string? uri)
    {
        switch (node)
        {
            case null: return "null";
            case JsonValue value: return value.GetValueKind() == JsonValueKind.String ? Text((string)value!) : value.ToJsonString();
            case JsonArray { Count: 0 }: return "none";
            case JsonArray array: return string.Join('\n', array.Select(i => $"{Indent(depth)}- {Render(i, depth + 1, uri).TrimStart()}"));
            case JsonObject { Count: 2 } place when place["line"] is not null && place["character"] is not null: return Place(place);
            case JsonObject { Count: 2 } range when range["start"] is JsonObject start && range["end"] is JsonObject end && start["line"] is not null: return Range(start, end, uri);
        }
        var its = node.AsObject();
        var named = (string?)(its["uri"] ?? its["targetUri"] ?? its["textDocument"]?["uri"]) ?? uri;
        var fields = its.Select(f => (f.Key, Value: Render(f.Value, depth + 1, named))).Select(f => f.Value.Contains('\n') ? f : (f.Key, Value: f.Value.Trim())).ToList();
        var line = string.Join(", ", fields.Select(f => $"{f.Key}: {f.Value}"));
        if (line.Length <= Width && !line.Contains('\n')) return line;
        return "\n" + string.Join('\n', fields.Select(f => $"{Indent(depth)}{f.Key}: {(f.Value.Contains('\n') && !f.Value.StartsWith('\n') ? "\n" : "")}{f.Value}"));
    }

    private string Text(string text)
    {
        if (text.StartsWith(folderUri, StringComparison.Ordinal)) return text[(folderUri.Length + 1)..];
        return text.Contains('\n') ? "|" + text.Replace("\n", "|", StringComparison.Ordinal) : text.Length == 0 ? "\"\"" : text;
    }

    private static string Place(JsonObject place) => string.Create(CultureInfo.InvariantCulture, $"{(int)place["line"]! + 1}:{(int)place["character"]! + 1}");

    private string Range(JsonObject start, JsonObject end, string? uri)
    {
        foreach (var file in files)
            if (uri is null ? file == files[0] : uri.EndsWith("/" + file.Name, StringComparison.Ordinal))
                foreach (var (name, (first, last)) in file.Ranges)
                    if (file.At(first) == PairOf(start) && file.At(last) == PairOf(end)) return $"<<{name}>>";
        return (int)start["line"]! == (int)end["line"]! ? $"{Place(start)}-{(int)end["character"]! + 1}" : $"{Place(start)}-{Place(end)}";
    }

    private static (int, int) PairOf(JsonObject place) => ((int)place["line"]!, (int)place["character"]!);

    private static string Indent(int depth) => new(' ', 2 * depth);
}
