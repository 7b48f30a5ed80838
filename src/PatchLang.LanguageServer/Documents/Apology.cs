namespace PatchLang.LanguageServer.Documents;

/// <summary>The message for an internal error.</summary>
internal static class Apology
{
    /// <summary>A line for the client's log, with what a developer needs to fix it.</summary>
    public static string For(string what, Exception e) =>
        $"the server itself went wrong at {what} ({e.GetType().Name}: {e.Message}). Please report it, with the plan that makes it happen.\n{e.StackTrace}";
}
