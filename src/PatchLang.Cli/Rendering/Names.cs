namespace PatchLang.Cli.Rendering;

/// <summary>Lists of names in prose.</summary>
internal static class Names
{
    /// <summary><c>a, b and c</c>.</summary>
    public static string All(IEnumerable<string> names) => Joined([.. names], "and");

    /// <summary><c>a, b or c</c>.</summary>
    public static string Either(IEnumerable<string> names) => Joined([.. names], "or");

    private static string Joined(string[] names, string last) =>
        names.Length <= 1 ? string.Concat(names) : $"{string.Join(", ", names[..^1])} {last} {names[^1]}";
}
