using System.Runtime.InteropServices;
using System.Text.Json;
using PatchLang.Scripting.Protocol;

namespace PatchLang.Scripts;

/// <summary>The line on which answers go, one message of JSON each. Nothing that a script prints can come between them.</summary>
internal sealed partial class Answers : IDisposable
{
    private readonly Stream stream;
    private readonly Lock gate = new();

    private Answers(Stream stream) => this.stream = stream;

    /// <summary>Takes standard output for answers, and leaves standard error in its place.</summary>
    public static Answers Open()
    {
        var line = Console.OpenStandardOutput(); // a handle of its own, which stays when the number is given away
        if (!OperatingSystem.IsWindows()) _ = Duplicate(2, 1);
        Console.SetOut(Console.Error);
        return new Answers(line);
    }

    /// <summary>Writes an answer.</summary>
    public void Write(ScriptReply reply)
    {
        lock (gate)
        {
            JsonSerializer.Serialize(stream, reply, ScriptJson.Default.ScriptReply);
            stream.WriteByte((byte)'\n');
            stream.Flush();
        }
    }

    /// <inheritdoc/>
    public void Dispose() => stream.Dispose();

    [LibraryImport("libc", EntryPoint = "dup2")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int Duplicate(int from, int to);
}
