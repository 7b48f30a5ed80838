using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Documents;

/// <summary>Reports progress of long work to clients that show it. Whether work is long is decided by its size, not by a clock.</summary>
internal sealed class LongWork(Connection connection)
{
    /// <summary>The length, in characters, from which loading a plan is reported: some twenty thousand lines.</summary>
    public const int FromCharacters = 2 << 20;

    private int lastToken;

    /// <summary>Reports the start of work; calling the result reports its end.</summary>
    public Action Begin(string title)
    {
        var done = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        _ = Tell($"patchlang-{Interlocked.Increment(ref lastToken)}", title, done.Task);
        return () => done.TrySetResult();
    }

    private async Task Tell(string token, string title, Task done)
    {
        // The protocol only allows tokens that the client has accepted.
        if (!await connection.Ask("window/workDoneProgress/create", new WorkDoneProgressCreateParams(token)).ConfigureAwait(false)) return;
        await connection.Notify("$/progress", new ProgressParams(token, new WorkDoneProgress(WorkDoneProgress.Begin) { Title = title })).ConfigureAwait(false);
        await done.ConfigureAwait(false);
        await connection.Notify("$/progress", new ProgressParams(token, new WorkDoneProgress(WorkDoneProgress.End))).ConfigureAwait(false);
    }
}
