using System.Collections.Concurrent;
using System.Text.Json.Nodes;

namespace PatchLang.LanguageServer.Tests;

/// <summary>
/// Every message that a server wrote, with the method that it answers. Saved where the environment variable
/// <c>PATCHLANG_MESSAGES</c> says, one message to a line, for a check by the protocol's own client library.
/// </summary>
internal sealed class MessageLog
{
    private static readonly string? Folder = Environment.GetEnvironmentVariable("PATCHLANG_MESSAGES");

    private readonly ConcurrentDictionary<int, string> methods = new();
    private readonly ConcurrentQueue<string> lines = new();

    public void Sent(int id, string method) => methods[id] = method;

    public void Received(JsonObject message)
    {
        if (Folder is null) return;
        var answers = message["method"] is null && message["id"] is JsonValue id && id.TryGetValue<int>(out var number) ? methods.GetValueOrDefault(number) : null;
        lines.Enqueue(new JsonObject { ["answers"] = answers, ["message"] = message.DeepClone() }.ToJsonString());
    }

    public void Save()
    {
        if (Folder is null || lines.IsEmpty) return;
        Directory.CreateDirectory(Folder);
        File.WriteAllLines(Path.Combine(Folder, $"{Guid.NewGuid():n}.jsonl"), lines);
    }
}
