namespace PatchLang.Writing;

/// <summary>What a <see cref="PlanWriter"/> was asked to write is no text of the language. The message says what is wrong, and nothing was written.</summary>
public sealed class PlanWritingException(string message) : Exception(message);
