namespace PatchLang.Outputs.Sheets;

/// <summary>The media of cables in words.</summary>
internal static class Media
{
    /// <summary>A medium's name as people say it: <c>twisted_pair</c> is "twisted pair".</summary>
    public static string Words(string medium) => medium == "utp" ? "data cable (UTP)" : medium.Replace('_', ' ');
}
