namespace PatchLang.Outputs.Sheets;

/// <summary>What cables are made of, in words.</summary>
internal static class Media
{
    /// <summary>A medium's name as people say it: <c>twisted_pair</c> is "twisted pair".</summary>
    public static string Words(string medium) => medium == "utp" ? "data cable (UTP)" : medium.Replace('_', ' ');
}
