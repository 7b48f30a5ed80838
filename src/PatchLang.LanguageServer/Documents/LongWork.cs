using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Documents;

/// <summary>Tells a client that shows it of work that takes a while. What takes a while is known by its size, so that no clock decides.</summary>
internal sealed class LongWork(Connection connection)
{
    /// <summary>A plan with so many characters, some twenty thousand lines, takes long enough to be told of when it is read anew.</summary>
    public const int FromCharacters = 2 << 20;

    private int lastToken;

    /// <summary>Says that work begins; what it gives says that it is done.</summary>
    public Action Begin(string title)
    {
        var done = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        _ = Tell($"patchlang-{Interlocked.Increment(ref lastToken)}", title, done.Task);
        return () => done.TrySetResult();
    }

    private async Task Tell(string token, string title, Task done)
    {
        // Only a token that the client agreed to may be used.
        if (!await connection.Ask("window/workDoneProgress/create", new WorkDoneProgressCreateParams(token)).ConfigureAwait(false)) return;
        await connection.Notify("$/progress", new ProgressParams(token, new WorkDoneProgress(WorkDoneProgress.Begin) { Title = title })).ConfigureAwait(false);
        await done.ConfigureAwait(false);
        await connection.Notify("$/progress", new ProgressParams(token, new WorkDoneProgress(WorkDoneProgress.End))).ConfigureAwait(false);
    }
}
